#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "support/regions.hpp"

namespace beadwise::tests {

/// The centre of a largest disc inside a region.
struct MedialNode {
  PlanePoint at;
  double radius_mm = 0;
};

/// A short piece of the axis, no longer than `medial_step_mm` and nearly straight.
struct MedialEdge {
  std::uint32_t from = 0;  ///< node
  std::uint32_t to = 0;
  /// Between the two nearest places of the boundary, seen from the middle of the edge: 180 where both sides run side by
  /// side, 180 less the angle of a wedge, 90 in the corner of a square.
  double angle_deg = 0;
  PlanePoint left;  ///< the two places
  PlanePoint right;
};

constexpr double medial_step_mm = 0.1;

/// The skeleton of a region: every place that is the centre of a disc which touches the boundary twice.
struct MedialAxis {
  std::vector<MedialNode> nodes;
  std::vector<MedialEdge> edges;
};

/// By the Voronoi diagram of the boundary's sides, of Boost.Polygon.
MedialAxis medial_axis(const Region& region);

/// Opposite sides: a wedge of up to 30 degrees is a stroke that tapers, a wider one is an end or a corner.
constexpr double opposite_sides_deg = 150;

/// Takes away what runs into convex corners and round ends: from every loose end inward as long as the angle is less
/// than `least_deg`. A part without opposite sides (a dot) keeps its widest place, as a node without edges.
MedialAxis without_ends(const MedialAxis& axis, double least_deg = opposite_sides_deg);

struct Thickness {
  double width_mm = 0;
  PlanePoint at;
};

/// The narrowest stroke: the least thickness between opposite sides of what `without_ends` leaves. A dot is as thick as
/// its largest disc. A stroke that runs out to a point counts from where it is `point_mm` thick.
std::optional<Thickness> narrowest_stroke(const Region& region, double point_mm = 0);

}  // namespace beadwise::tests
