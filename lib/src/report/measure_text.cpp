#include <fmt/format.h>

#include "beadwise/report.hpp"
#include "report/figure_rows.hpp"
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

std::string whole_job(const JobFigures& job, const TextStyle& style) {
  std::string out;
  for (const FigureRow& row : figure_rows(job)) {
    if (row.value.empty()) continue;
    std::string value = row.value;
    if (value.size() > 2 && value.ends_with(".0")) value.resize(value.size() - 2);
    if (!row.unit.empty()) value += fmt::format(" {}", row.unit);
    if (row.key == "duration_s") value += fmt::format(" ({})", spoken_duration(job.duration_s));
    out += fmt::format("  {}  {}\n", painted(left_aligned(row.label, 30), Tone::faint, style.color), value);
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
