#include "report/figure_rows.hpp"

#include <concepts>

#include "report/json_value.hpp"

namespace beadwise {

namespace {

std::string digits(double value) {
  const Json number = json_number(value);
  return number.is_null() ? std::string() : number.dump();
}

template <std::integral Number>
std::string digits(Number value) {
  return std::to_string(value);
}

std::string digits(const std::optional<double>& value) { return value ? digits(*value) : std::string(); }

std::string low(const std::optional<Interval>& interval) { return interval ? digits(interval->low) : std::string(); }

std::string high(const std::optional<Interval>& interval) { return interval ? digits(interval->high) : std::string(); }

}  // namespace

std::vector<FigureRow> figure_rows(const JobFigures& job) {
  return {{"bytes", "bytes", "", digits(job.bytes)},
          {"lines", "lines", "", digits(job.lines)},
          {"moves", "moves", "", digits(job.moves)},
          {"extruding_moves", "extruding moves", "", digits(job.extruding_moves)},
          {"travel_moves", "travel moves", "", digits(job.travel_moves)},
          {"retractions", "retractions", "", digits(job.retractions)},
          {"filament_fed_mm", "filament fed", "mm", digits(job.filament_fed_mm)},
          {"deposited_mm3", "deposited", "mm³", digits(job.deposited_mm3)},
          {"extruding_path_mm", "extruding path", "mm", digits(job.extruding_path_mm)},
          {"travel_path_mm", "travel path", "mm", digits(job.travel_path_mm)},
          {"layers", "layers", "", digits(job.layers)},
          {"x_min_mm", "beads from X", "mm", low(job.bounds_x_mm)},
          {"x_max_mm", "beads to X", "mm", high(job.bounds_x_mm)},
          {"y_min_mm", "beads from Y", "mm", low(job.bounds_y_mm)},
          {"y_max_mm", "beads to Y", "mm", high(job.bounds_y_mm)},
          {"z_min_mm", "beads from Z", "mm", low(job.bounds_z_mm)},
          {"z_max_mm", "beads to Z", "mm", high(job.bounds_z_mm)},
          {"duration_s", "duration", "s", digits(job.duration_s)},
          {"peak_flow_mm3_per_s", "peak flow over 0.1 s", "mm³/s", digits(job.peak_flow_mm3_per_s)},
          {"max_gear_passes", "most gear passes of one point", "", digits(job.max_gear_passes)},
          {"nozzle_min_c", "nozzle set to at least", "°C", low(job.nozzle_c)},
          {"nozzle_max_c", "nozzle set to at most", "°C", high(job.nozzle_c)},
          {"bed_min_c", "bed set to at least", "°C", low(job.bed_c)},
          {"bed_max_c", "bed set to at most", "°C", high(job.bed_c)},
          {"filament_mass_g", "filament mass", "g", digits(job.filament_mass_g)},
          {"head_path_mm", "head path", "mm", digits(job.head_path_mm)},
          {"head_reversals_x", "head reversals in X", "", digits(job.head_reversals_x)},
          {"head_reversals_y", "head reversals in Y", "", digits(job.head_reversals_y)}};
}

std::vector<FigureRow> figure_rows(const LayerFigures& layer) {
  return {{"layer", "layer", "", digits(layer.layer)},
          {"z_mm", "Z", "mm", digits(layer.z_mm)},
          {"height_mm", "height", "mm", digits(layer.height_mm)},
          {"start_s", "start", "s", digits(layer.start_s)},
          {"duration_s", "duration", "s", digits(layer.duration_s)},
          {"first_line", "first line", "", digits(layer.first_line)},
          {"last_line", "last line", "", digits(layer.last_line)},
          {"beads", "beads", "", digits(layer.beads)},
          {"travels", "travels", "", digits(layer.travels)},
          {"retractions", "retractions", "", digits(layer.retractions)},
          {"filament_mm", "filament", "mm", digits(layer.filament_mm)},
          {"deposited_mm3", "deposited", "mm³", digits(layer.deposited_mm3)},
          {"extruding_path_mm", "extruding path", "mm", digits(layer.extruding_path_mm)},
          {"travel_path_mm", "travel path", "mm", digits(layer.travel_path_mm)},
          {"bead_time_s", "time laying beads", "s", digits(layer.bead_time_s)},
          {"mean_flow_mm3_per_s", "mean flow", "mm³/s", digits(layer.mean_flow_mm3_per_s)}};
}

std::vector<FigureRow> figure_rows(const ObjectFigures& object) {
  return {{"object", "object", "", digits(object.object)},
          {"x_min_mm", "from X", "mm", digits(object.x_mm.low)},
          {"x_max_mm", "to X", "mm", digits(object.x_mm.high)},
          {"y_min_mm", "from Y", "mm", digits(object.y_mm.low)},
          {"y_max_mm", "to Y", "mm", digits(object.y_mm.high)},
          {"z_min_mm", "from Z", "mm", digits(object.z_mm.low)},
          {"z_max_mm", "to Z", "mm", digits(object.z_mm.high)},
          {"first_layer", "first layer", "", digits(object.first_layer)},
          {"last_layer", "last layer", "", digits(object.last_layer)},
          {"beads", "beads", "", digits(object.beads)},
          {"deposited_mm3", "deposited", "mm³", digits(object.deposited_mm3)},
          {"extruding_path_mm", "extruding path", "mm", digits(object.extruding_path_mm)},
          {"bead_time_s", "time laying beads", "s", digits(object.bead_time_s)}};
}

}  // namespace beadwise
