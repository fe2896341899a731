#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "model/bead_index.hpp"
#include "model/rounded_rectangle.hpp"

namespace beadwise {

/// Integrals over a flat region: its area, and its first and second moments about the plate's origin.
struct AreaMoments {
  double area_mm2 = 0;
  double x_mm3 = 0;
  double y_mm3 = 0;
  double xx_mm4 = 0;
  double xy_mm4 = 0;
  double yy_mm4 = 0;

  /// Takes in a region that does not overlap this one.
  void add(const AreaMoments& other);
  /// Middle of the area; the origin where there is none.
  PlanePoint middle_mm() const;
  /// Second moment of the area about its middle, of distances along a direction of length 1, mm⁴.
  double second_moment_mm4(PlanePoint direction) const;
};

/// Area of the union of footprints: what beads cover together, where two overlap once. Exact on scanlines that are a
/// sixteenth of a bead apart, farther where the region is so large that this would take long.
class PrintedArea {
 public:
  AreaMoments of(std::span<const Footprint> footprints);

 private:
  struct Strip {
    double from = 0;
    double to = 0;
  };

  /// Fills `turned_`; how far apart to lay the scanlines, mm.
  double turn(std::span<const Footprint> footprints);
  AreaMoments sweep(double pitch_mm);

  PlanePoint origin_;  ///< of the turned axes, turned
  // Memory used again from one region to the next.
  std::vector<RoundedRectangle> turned_;  ///< in the order of their lowest points
  std::vector<std::uint32_t> active_;     ///< indices of those that the scanline may cross
  std::vector<Strip> strips_;             ///< of one scanline
};

}  // namespace beadwise
