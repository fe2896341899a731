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
  return {{"bytes", digits(job.bytes)},
          {"lines", digits(job.lines)},
          {"moves", digits(job.moves)},
          {"extruding_moves", digits(job.extruding_moves)},
          {"travel_moves", digits(job.travel_moves)},
          {"retractions", digits(job.retractions)},
          {"filament_fed_mm", digits(job.filament_fed_mm)},
          {"deposited_mm3", digits(job.deposited_mm3)},
          {"extruding_path_mm", digits(job.extruding_path_mm)},
          {"travel_path_mm", digits(job.travel_path_mm)},
          {"layers", digits(job.layers)},
          {"x_min_mm", low(job.bounds_x_mm)},
          {"x_max_mm", high(job.bounds_x_mm)},
          {"y_min_mm", low(job.bounds_y_mm)},
          {"y_max_mm", high(job.bounds_y_mm)},
          {"z_min_mm", low(job.bounds_z_mm)},
          {"z_max_mm", high(job.bounds_z_mm)},
          {"duration_s", digits(job.duration_s)},
          {"peak_flow_mm3_per_s", digits(job.peak_flow_mm3_per_s)},
          {"max_gear_passes", digits(job.max_gear_passes)},
          {"nozzle_min_c", low(job.nozzle_c)},
          {"nozzle_max_c", high(job.nozzle_c)},
          {"bed_min_c", low(job.bed_c)},
          {"bed_max_c", high(job.bed_c)},
          {"filament_mass_g", digits(job.filament_mass_g)},
          {"head_path_mm", digits(job.head_path_mm)},
          {"head_reversals_x", digits(job.head_reversals_x)},
          {"head_reversals_y", digits(job.head_reversals_y)},
          {"core_c_min", digits(job.core_c_min)},
          {"feed_force_n", digits(job.feed_force_n)}};
}

std::vector<FigureRow> figure_rows(const LayerFigures& layer) {
  return {{"layer", digits(layer.layer)},
          {"z_mm", digits(layer.z_mm)},
          {"height_mm", digits(layer.height_mm)},
          {"start_s", digits(layer.start_s)},
          {"duration_s", digits(layer.duration_s)},
          {"first_line", digits(layer.first_line)},
          {"last_line", digits(layer.last_line)},
          {"beads", digits(layer.beads)},
          {"travels", digits(layer.travels)},
          {"retractions", digits(layer.retractions)},
          {"filament_mm", digits(layer.filament_mm)},
          {"deposited_mm3", digits(layer.deposited_mm3)},
          {"extruding_path_mm", digits(layer.extruding_path_mm)},
          {"travel_path_mm", digits(layer.travel_path_mm)},
          {"bead_time_s", digits(layer.bead_time_s)},
          {"mean_flow_mm3_per_s", digits(layer.mean_flow_mm3_per_s)},
          {"core_c_min", digits(layer.core_c_min)},
          {"feed_force_n", digits(layer.feed_force_n)}};
}

std::vector<FigureRow> figure_rows(const ObjectFigures& object) {
  return {{"object", digits(object.object)},
          {"x_min_mm", digits(object.x_mm.low)},
          {"x_max_mm", digits(object.x_mm.high)},
          {"y_min_mm", digits(object.y_mm.low)},
          {"y_max_mm", digits(object.y_mm.high)},
          {"z_min_mm", digits(object.z_mm.low)},
          {"z_max_mm", digits(object.z_mm.high)},
          {"first_layer", digits(object.first_layer)},
          {"last_layer", digits(object.last_layer)},
          {"beads", digits(object.beads)},
          {"deposited_mm3", digits(object.deposited_mm3)},
          {"extruding_path_mm", digits(object.extruding_path_mm)},
          {"bead_time_s", digits(object.bead_time_s)}};
}

}  // namespace beadwise
