#pragma once

#include <cstdint>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/bead.hpp"
#include "beadwise/move.hpp"
#include "beadwise/profile.hpp"

namespace beadwise {

/// What the beginning of a job shows about the machine and the material.
///
/// Fed with batches and layers of a machine that reads E as a length of 1.75 mm filament, and with the comments.
class Evidence {
 public:
  static constexpr double assumed_diameter_mm = 1.75;

  void on_moves(const MoveBatch& batch);
  void on_layer(const Layer& layer);
  /// A comment that names the nozzle's or the filament's diameter is believed.
  void on_comment(std::string_view comment, std::uint64_t line);
  void set_named_filament_diameter(double diameter_mm) { m200_diameter_mm_ = diameter_mm; }

  /// Fills what nobody stated in `profile`: nozzle, filament diameter, meaning of E, drive, material.
  void fill(Profile& profile) const;

 private:
  struct Sample {
    double area_mm2 = 0;  ///< as E read as a length of 1.75 mm filament gives it
    double height_mm = 0;
    double path_mm = 0;
  };
  struct Reading;
  struct Named {
    double value_mm = 0;
    std::uint64_t line = 0;
  };
  Reading best_reading(const MachineProfile& machine) const;
  double typical_width_mm(double area_factor) const;
  double typical_height_mm() const;
  void fill_beads(MachineProfile& machine) const;
  void fill_drive(MachineProfile& machine) const;
  void fill_material(FilamentProfile& filament) const;

  std::vector<Sample> samples_;
  std::size_t layers_ = 0;
  Named nozzle_;
  Named filament_;
  double m200_diameter_mm_ = 0;
  std::map<std::int64_t, double> nozzle_set_points_;  ///< in tenths of a degree, and the path laid at each
  std::map<std::int64_t, double> bed_set_points_;
  std::map<std::int64_t, std::uint64_t> retractions_;  ///< by length in hundredths of a millimetre
  std::map<std::uint8_t, double> open_pull_mm_;
};

}  // namespace beadwise
