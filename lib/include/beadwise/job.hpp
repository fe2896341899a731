#pragma once

#include <cstdint>
#include <optional>
#include <vector>

namespace beadwise {

/// The least and the most of something.
struct Interval {
  double low = 0;
  double high = 0;
};

/// What one job, one layer or one object amounts to. Lengths in mm, volumes in mm³, times in s, temperatures in °C.
/// Definitions: docs/figures.md.
struct JobFigures {
  std::uint64_t bytes = 0;
  std::uint64_t lines = 0;
  std::uint64_t moves = 0;
  std::uint64_t extruding_moves = 0;
  std::uint64_t travel_moves = 0;
  std::uint64_t retractions = 0;
  double filament_fed_mm = 0;
  double deposited_mm3 = 0;
  double extruding_path_mm = 0;
  double travel_path_mm = 0;
  std::uint64_t layers = 0;
  std::optional<Interval> bounds_x_mm;  ///< all three or none
  std::optional<Interval> bounds_y_mm;
  std::optional<Interval> bounds_z_mm;
  double duration_s = 0;
  double peak_flow_mm3_per_s = 0;
  std::uint64_t max_gear_passes = 1;
  std::optional<Interval> nozzle_c;
  std::optional<Interval> bed_c;
  std::optional<double> filament_mass_g;  ///< none where the density is unknown
  double head_path_mm = 0;
  std::uint64_t head_reversals_x = 0;
  std::uint64_t head_reversals_y = 0;
  std::optional<double>
      core_c_min;  ///< coldest core of filament that left in a bead; none without material or set point
  std::optional<double> feed_force_n;  ///< of the pressure alone, at the peak flow: a lower bound
};

/// The figures of one layer, for `beadwise measure --per layer`.
struct LayerFigures {
  std::uint32_t layer = 0;  ///< from 1
  double z_mm = 0;
  double height_mm = 0;
  double start_s = 0;
  double duration_s = 0;  ///< from its first bead to the first bead of the next layer, or to the end
  std::uint64_t first_line = 0;
  std::uint64_t last_line = 0;
  std::uint64_t beads = 0;
  std::uint64_t travels = 0;
  std::uint64_t retractions = 0;
  double filament_mm = 0;  ///< forward along its beads
  double deposited_mm3 = 0;
  double extruding_path_mm = 0;
  double travel_path_mm = 0;
  double bead_time_s = 0;          ///< while beads are laid
  double mean_flow_mm3_per_s = 0;  ///< deposited over that time
  std::optional<double> core_c_min;
  std::optional<double> feed_force_n;  ///< of the pressure alone, at the mean flow
};

/// What `beadwise measure --series` follows over time.
enum class Series : std::uint8_t {
  none,
  flow,   ///< mm³/s, of beads
  core,   ///< °C, of the filament that leaves
  speed,  ///< mm/s, of the head
};

/// One step of a series; its steps are as wide as keeps the series short.
struct SeriesRow {
  double start_s = 0;
  double step_s = 0;
  double mean = 0;
  double least = 0;
  double most = 0;
};

/// The figures of one object of a plate, for `beadwise measure --per object`.
struct ObjectFigures {
  std::uint32_t object = 0;  ///< from 1
  Interval x_mm, y_mm, z_mm;
  std::uint64_t beads = 0;
  double deposited_mm3 = 0;
  double extruding_path_mm = 0;
  double bead_time_s = 0;  ///< while its beads are laid
  std::uint32_t first_layer = 0;
  std::uint32_t last_layer = 0;
};

/// The objects of a plate that are worth naming: where some have more than two layers only those, for a skirt and a
/// prime line are objects too; else all, unless those are crumbs.
std::vector<ObjectFigures> named_objects(const std::vector<ObjectFigures>& objects);

}  // namespace beadwise
