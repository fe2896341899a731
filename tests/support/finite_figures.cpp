#include "support/finite_figures.hpp"

#include <cctype>
#include <cmath>
#include <string_view>
#include <utility>

namespace beadwise::tests {

namespace {

using Figure = std::pair<std::string_view, double>;

bool counts(double value) { return std::isfinite(value) && value >= 0; }
bool is_finite(const std::optional<Interval>& interval) {
  return !interval || (std::isfinite(interval->low) && std::isfinite(interval->high));
}

/// Whether a sentence has a figure as the formatter writes one that is none; what it quotes does not count.
bool tells_no_number(std::string_view sentence) {
  bool quoted = false;
  std::string word;
  for (const char c : std::string(sentence) + ' ') {
    if (c == '"' || c == '`') quoted = !quoted;
    if (std::isalnum(static_cast<unsigned char>(c)) != 0) {
      word += c;
      continue;
    }
    if (!quoted && (word == "nan" || word == "inf")) return true;
    word.clear();
  }
  return false;
}

std::string none_of_job(const JobFigures& job) {
  for (const auto& [name, value] :
       {Figure{"filament_fed_mm", job.filament_fed_mm}, Figure{"deposited_mm3", job.deposited_mm3},
        Figure{"extruding_path_mm", job.extruding_path_mm}, Figure{"travel_path_mm", job.travel_path_mm},
        Figure{"duration_s", job.duration_s}, Figure{"peak_flow_mm3_per_s", job.peak_flow_mm3_per_s},
        Figure{"head_path_mm", job.head_path_mm}, Figure{"filament_mass_g", job.filament_mass_g.value_or(0)},
        Figure{"feed_force_n", job.feed_force_n.value_or(0)}})
    if (!counts(value)) return std::string(name) + " = " + std::to_string(value);
  for (const auto& interval : {job.bounds_x_mm, job.bounds_y_mm, job.bounds_z_mm, job.nozzle_c, job.bed_c})
    if (!is_finite(interval)) return "an interval of the job";
  if (!std::isfinite(job.core_c_min.value_or(0))) return "core_c_min";
  return "";
}

std::string none_of_finding(const Finding& finding) {
  for (const std::string& sentence : {finding.what, finding.why, finding.remedy})
    if (sentence.empty() || tells_no_number(sentence)) return finding.check + " says: " + sentence;
  if (finding.measured && !(std::isfinite(finding.measured->value) && std::isfinite(finding.measured->limit)))
    return finding.check + " measures " + std::to_string(finding.measured->value);
  for (const Place& place : finding.places.worst())
    for (const double value : {place.value, place.x_mm, place.y_mm, place.z_mm})
      if (!std::isfinite(value)) return finding.check + " has a place at " + std::to_string(value);
  return "";
}

std::string none_of_layer(const LayerFigures& layer) {
  for (const auto& [name, value] :
       {Figure{"height_mm", layer.height_mm}, Figure{"start_s", layer.start_s}, Figure{"duration_s", layer.duration_s},
        Figure{"filament_mm", layer.filament_mm}, Figure{"deposited_mm3", layer.deposited_mm3},
        Figure{"extruding_path_mm", layer.extruding_path_mm}, Figure{"travel_path_mm", layer.travel_path_mm},
        Figure{"bead_time_s", layer.bead_time_s}, Figure{"mean_flow_mm3_per_s", layer.mean_flow_mm3_per_s}})
    if (!std::isfinite(value)) return std::string(name) + " of layer " + std::to_string(layer.layer);
  return std::isfinite(layer.z_mm) && std::isfinite(layer.core_c_min.value_or(0)) ? "" : "z or core of a layer";
}

}  // namespace

std::string figure_that_is_none(const FileReport& report) {
  if (report.job)
    if (std::string none = none_of_job(*report.job); !none.empty()) return none;
  for (const Finding& finding : report.findings)
    if (std::string none = none_of_finding(finding); !none.empty()) return none;
  for (const LayerFigures& layer : report.layers)
    if (std::string none = none_of_layer(layer); !none.empty()) return none;
  for (const SeriesRow& row : report.series)
    if (!std::isfinite(row.mean + row.least + row.most)) return "a series";
  return "";
}

}  // namespace beadwise::tests
