#pragma once

#include <vector>

#include "support/print.hpp"

namespace beadwise::tests {

/// A part of the plane without gaps in its boundary: one outline less its holes, in any sense of turning.
struct Area {
  Outline outer;
  std::vector<Outline> holes;
};

/// Parts that do not overlap. Every corner lies on a grid of `region_grid_mm`, so that no two sides cross.
using Region = std::vector<Area>;

/// Fine against everything that a nozzle does, coarse against rounding.
constexpr double region_grid_mm = 1e-4;

/// A straight bead seen from above: every place within half the width of it.
struct LaidBead {
  PlanePoint from;
  PlanePoint to;
  double width_mm = 0;
};

/// What only a polygon with many corners stands for, a round end of 0.5 mm radius, is at most this far off.
constexpr double round_error_mm = 0.0006;

/// Set operations by GEOS, an independent library for plane geometry. Round where a circle would be.
Region grown(const Region& region, double by_mm);
/// What is left `by_mm` away from the outside.
Region inset(const Region& region, double by_mm);
/// What a disc of `radius_mm` sweeps that stays inside.
Region opened(const Region& region, double radius_mm);
/// With gaps closed into which no disc of `radius_mm` goes.
Region closed(const Region& region, double radius_mm);
Region united(const std::vector<Region>& regions);
Region without(const Region& region, const Region& taken);
Region common(const Region& one, const Region& other);
/// The union of the beads' footprints, rectangles with round ends.
Region footprints(const std::vector<LaidBead>& beads);
/// Without the holes into which no disc of this radius goes: pores between beads, no openings of a letter. Half a usual
/// nozzle wide; what is narrower flows together.
constexpr double largest_pore_radius_mm = 0.1;
Region without_pores(Region region, double radius_mm = largest_pore_radius_mm);

/// The region that a font's outline bounds: rings that turn like the largest one add, others take away, the larger
/// before the smaller.
Region bounded_by(std::vector<Outline> rings);

Region rectangular(double width_mm, double depth_mm, PlanePoint low);

/// Where a level row crosses the boundary, in order: the region lies between each first and second.
std::vector<double> crossings(const Region& region, double y);

double signed_area_mm2(const Outline& outline);
double area_mm2(const Region& region);

}  // namespace beadwise::tests
