#include "report/json_figures.hpp"

namespace beadwise {

namespace {

Json bounds(const JobFigures& job) {
  if (!job.bounds_x_mm || !job.bounds_y_mm || !job.bounds_z_mm) return nullptr;
  return {{"x", json_pair(job.bounds_x_mm->low, job.bounds_x_mm->high)},
          {"y", json_pair(job.bounds_y_mm->low, job.bounds_y_mm->high)},
          {"z", json_pair(job.bounds_z_mm->low, job.bounds_z_mm->high)}};
}

}  // namespace

Json to_json(const JobFigures& job) {
  Json figures = {{"bytes", job.bytes},
                  {"lines", job.lines},
                  {"moves", job.moves},
                  {"extruding_moves", job.extruding_moves},
                  {"travel_moves", job.travel_moves},
                  {"retractions", job.retractions},
                  {"filament_fed_mm", json_number(job.filament_fed_mm)},
                  {"deposited_mm3", json_number(job.deposited_mm3)},
                  {"extruding_path_mm", json_number(job.extruding_path_mm)},
                  {"travel_path_mm", json_number(job.travel_path_mm)},
                  {"layers", job.layers},
                  {"bounds_mm", bounds(job)},
                  {"duration_s", json_number(job.duration_s)},
                  {"peak_flow_mm3_per_s", json_number(job.peak_flow_mm3_per_s)},
                  {"max_gear_passes", job.max_gear_passes},
                  {"nozzle_c", json_min_max(job.nozzle_c)},
                  {"bed_c", json_min_max(job.bed_c)},
                  {"filament_mass_g", job.filament_mass_g ? json_number(*job.filament_mass_g) : Json(nullptr)},
                  {"head_path_mm", json_number(job.head_path_mm)},
                  {"head_reversals", {{"x", job.head_reversals_x}, {"y", job.head_reversals_y}}}};
  // Followed by `measure` only.
  if (job.core_c_min) figures["core_c_min"] = json_number(*job.core_c_min);
  if (job.feed_force_n) figures["feed_force_n"] = json_number(*job.feed_force_n);
  return figures;
}

Json to_json(const LayerFigures& layer) {
  return {{"layer", layer.layer},
          {"z_mm", json_number(layer.z_mm)},
          {"height_mm", json_number(layer.height_mm)},
          {"start_s", json_number(layer.start_s)},
          {"duration_s", json_number(layer.duration_s)},
          {"first_line", layer.first_line},
          {"last_line", layer.last_line},
          {"beads", layer.beads},
          {"travels", layer.travels},
          {"retractions", layer.retractions},
          {"filament_mm", json_number(layer.filament_mm)},
          {"deposited_mm3", json_number(layer.deposited_mm3)},
          {"extruding_path_mm", json_number(layer.extruding_path_mm)},
          {"travel_path_mm", json_number(layer.travel_path_mm)},
          {"bead_time_s", json_number(layer.bead_time_s)},
          {"mean_flow_mm3_per_s", json_number(layer.mean_flow_mm3_per_s)},
          {"core_c_min", layer.core_c_min ? json_number(*layer.core_c_min) : Json(nullptr)},
          {"feed_force_n", layer.feed_force_n ? json_number(*layer.feed_force_n) : Json(nullptr)}};
}

Json to_json(const ObjectFigures& object) {
  return {{"object", object.object},
          {"bounds_mm",
           {{"x", json_pair(object.x_mm.low, object.x_mm.high)},
            {"y", json_pair(object.y_mm.low, object.y_mm.high)},
            {"z", json_pair(object.z_mm.low, object.z_mm.high)}}},
          {"first_layer", object.first_layer},
          {"last_layer", object.last_layer},
          {"beads", object.beads},
          {"deposited_mm3", json_number(object.deposited_mm3)},
          {"extruding_path_mm", json_number(object.extruding_path_mm)},
          {"bead_time_s", json_number(object.bead_time_s)}};
}

}  // namespace beadwise
