#include "diagnose/file_figures.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "beadwise/check.hpp"
#include "report/quantity.hpp"
#include "report/spoken.hpp"

namespace beadwise {

namespace {

std::string between(const std::optional<Interval>& interval) {
  if (!interval) return {};
  const std::string low = spoken(interval->low, 0);
  const std::string high = spoken(interval->high, 0);
  return low == high ? low + " °C" : fmt::format("{} to {} °C", low, high);
}

/// As a person says a limit: a ratio of several times, and a thing counted, without a percent.
std::string limit_in_words(double value, std::string_view unit) {
  if (unit == "ratio" && value >= 2) return spoken(value, 2) + " times";
  return quantity(value, std::string(unit));
}

}  // namespace

FileFigures::FileFigures(const FileReport& report, const Profile& stated) : report_(report) {
  if (report.job) {
    const JobFigures& job = *report.job;
    figures_ = {{"peak_flow", spoken(job.peak_flow_mm3_per_s, 1) + " mm³/s"},
                {"gear_passes", std::to_string(job.max_gear_passes)},
                {"retractions", std::to_string(job.retractions)},
                {"layers", std::to_string(job.layers)},
                {"duration", spoken_duration(job.duration_s)},
                {"fed", spoken_length(job.filament_fed_mm)},
                {"nozzle", between(job.nozzle_c)},
                {"bed", between(job.bed_c)}};
  }
  if (report.job && report.job->core_c_min) figures_["core"] = spoken(*report.job->core_c_min, 0) + " °C";
  if (stated.machine.melt_zone_mm.known()) figures_["melt_zone"] = quantity(*stated.machine.melt_zone_mm, "mm");
  for (const Assumption& assumption : report.assumptions) {
    const auto* const text = std::get_if<std::string>(&assumption.value);
    if (text == nullptr) continue;
    if (assumption.key == "machine.drive") figures_["drive"] = *text;
    if (assumption.key == "filament.material") figures_["material"] = *text;
  }
}

std::string FileFigures::figure(std::string_view check, std::string_view name) const {
  const auto known = figures_.find(name);
  if (known != figures_.end()) return known->second;
  for (const RegisteredCheck& registered : all_checks()) {
    if (registered.name != check) continue;
    for (const Threshold& threshold : registered.describe().thresholds) {
      if (threshold.key != name) continue;
      double value = threshold.built_in;
      const auto profile = report_.stated_checks.find(check);
      if (profile != report_.stated_checks.end()) {
        const auto limit = profile->second.limits.find(name);
        if (limit != profile->second.limits.end()) value = limit->second.value.value_or(value);
      }
      return limit_in_words(value, threshold.unit);
    }
  }
  return {};
}

bool FileFigures::fill(std::string_view check, std::string_view text, std::string& out) const {
  bool all = true;
  while (!text.empty()) {
    const std::size_t open = std::min(text.find('{'), text.size());
    out += text.substr(0, open);
    text.remove_prefix(open);
    if (text.empty()) break;
    const std::size_t close = std::min(text.find('}'), text.size() - 1);
    const std::string value = figure(check, text.substr(1, close - 1));
    out += value.empty() ? std::string(text.substr(0, close + 1)) : value;
    all = all && !value.empty();
    text.remove_prefix(close + 1);
  }
  return all;
}

std::string FileFigures::filled(std::string_view check, std::string_view sentence) const {
  std::string out;
  while (!sentence.empty()) {
    const std::size_t open = std::min(sentence.find('['), sentence.size());
    fill(check, sentence.substr(0, open), out);
    if (open == sentence.size()) break;
    const std::size_t close = sentence.find(']', open);
    const std::string_view inside = sentence.substr(open + 1, close - open - 1);
    const std::size_t bar = inside.find('|');
    std::string optional;
    if (fill(check, inside.substr(0, bar), optional)) {
      out += optional;
    } else if (bar != std::string_view::npos) {
      out += inside.substr(bar + 1);
    }
    sentence.remove_prefix(close + 1);
  }
  return out;
}

}  // namespace beadwise
