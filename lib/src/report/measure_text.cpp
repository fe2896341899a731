#include <fmt/format.h>

#include "beadwise/report.hpp"
#include "report/paint.hpp"
#include "report/spoken.hpp"
#include "report/table.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

std::string interval(const Interval& range, int decimals) {
  if (spoken(range.low, decimals) == spoken(range.high, decimals)) return spoken(range.low, decimals);
  return fmt::format("{} to {}", spoken(range.low, decimals), spoken(range.high, decimals));
}

std::string with_unit(double value, std::string_view unit) { return fmt::format("{} {}", spoken(value, 2), unit); }

std::string box(const JobFigures& job) {
  if (!job.bounds_x_mm || !job.bounds_y_mm || !job.bounds_z_mm) return {};
  return fmt::format("X {}, Y {}, Z {} mm", interval(*job.bounds_x_mm, 2), interval(*job.bounds_y_mm, 2),
                     interval(*job.bounds_z_mm, 2));
}

std::string set_points(const std::optional<Interval>& set_c) { return set_c ? interval(*set_c, 1) + " °C" : ""; }

/// Label and value; what is not known has no value.
std::vector<std::pair<std::string_view, std::string>> told(const JobFigures& job) {
  return {
      {"file", fmt::format("{}, {}", counted(job.bytes, "byte"), counted(job.lines, "line"))},
      {"moves", fmt::format("{}: {} extruding, {} travelling", job.moves, job.extruding_moves, job.travel_moves)},
      {"layers", std::to_string(job.layers)},
      {"duration", fmt::format("{} ({})", with_unit(job.duration_s, "s"), spoken_duration(job.duration_s))},
      {"filament fed", with_unit(job.filament_fed_mm, "mm")},
      {"filament mass", job.filament_mass_g ? with_unit(*job.filament_mass_g, "g") : ""},
      {"deposited", with_unit(job.deposited_mm3, "mm³")},
      {"extruding path", with_unit(job.extruding_path_mm, "mm")},
      {"travel path", with_unit(job.travel_path_mm, "mm")},
      {"beads lie within", box(job)},
      {"peak flow over 0.1 s", with_unit(job.peak_flow_mm3_per_s, "mm³/s")},
      {"retractions", std::to_string(job.retractions)},
      {"most gear passes of one point", std::to_string(job.max_gear_passes)},
      {"nozzle set to", set_points(job.nozzle_c)},
      {"bed set to", set_points(job.bed_c)},
      {"head path", with_unit(job.head_path_mm, "mm")},
      {"head reversals", fmt::format("X {}, Y {}", job.head_reversals_x, job.head_reversals_y)},
      {"coldest core",
       job.core_c_min ? fmt::format("{} °C where it leaves the nozzle", spoken(*job.core_c_min, 1)) : ""},
      {"feed force at peak flow", job.feed_force_n ? fmt::format("at least {} N", spoken(*job.feed_force_n, 1)) : ""}};
}

std::string whole_job(const JobFigures& job, const TextStyle& style) {
  std::string out;
  for (const auto& [label, value] : told(job)) {
    if (value.empty()) continue;
    const std::string plain = "  " + left_aligned(label, 31);
    std::string line = hanging(plain, value, style.width);
    out += line.replace(0, plain.size(), painted(plain, Tone::faint, style.color));
  }
  return out;
}

std::string layers(const std::vector<LayerFigures>& all) {
  Table table;
  table.rows.push_back(
      {"layer", "Z mm", "height", "time s", "beads", "travels", "pulls", "fed mm", "mm³/s", "from line"});
  for (const LayerFigures& layer : all) {
    table.rows.push_back({std::to_string(layer.layer), fmt::format("{:.2f}", layer.z_mm),
                          fmt::format("{:.2f}", layer.height_mm), fmt::format("{:.1f}", layer.duration_s),
                          std::to_string(layer.beads), std::to_string(layer.travels), std::to_string(layer.retractions),
                          fmt::format("{:.1f}", layer.filament_mm), fmt::format("{:.1f}", layer.mean_flow_mm3_per_s),
                          std::to_string(layer.first_line)});
  }
  return table.as_lines();
}

std::string objects(const std::vector<ObjectFigures>& all) {
  Table table;
  table.rows.push_back({"object", "X mm", "Y mm", "up to Z", "layers", "beads", "laid mm³", "laying s"});
  for (const ObjectFigures& object : all) {
    table.rows.push_back({std::to_string(object.object), interval(object.x_mm, 1), interval(object.y_mm, 1),
                          spoken(object.z_mm.high, 2), fmt::format("{} to {}", object.first_layer, object.last_layer),
                          std::to_string(object.beads), fmt::format("{:.1f}", object.deposited_mm3),
                          fmt::format("{:.1f}", object.bead_time_s)});
  }
  return table.as_lines();
}

std::string figures(const FileReport& report, Per per, const TextStyle& style) {
  if (!report.job) return {};
  if (per == Per::job) return whole_job(*report.job, style);
  if (report.job->layers == 0) return "  No bead is laid.\n";
  return per == Per::layer ? layers(report.layers) : objects(report.objects);
}

}  // namespace

std::string measure_as_text(std::span<const FileReport> reports, Per per, const TextStyle& style) {
  std::string out;
  for (const FileReport& report : reports) {
    if (!out.empty()) out += '\n';
    out += painted(shown(report.file), Tone::strong, style.color) + '\n';
    if (report.failure)
      out += hanging("  ", "This file could not be read to its end: " + shown(*report.failure), style.width);
    out += figures(report, per, style);
  }
  return out;
}

}  // namespace beadwise
