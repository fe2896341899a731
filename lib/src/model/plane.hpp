#pragma once

#include <algorithm>
#include <cmath>
#include <optional>

namespace beadwise {

/// A place seen from above, mm.
struct PlanePoint {
  double x = 0;
  double y = 0;
};

/// Shares (0 to 1) of a segment between which something holds.
struct Span {
  double from = 0;
  double to = 0;
};

/// Twice the area of the triangle, mm²; positive where `b` lies to the left of the way from `origin` to `a`.
inline double cross(PlanePoint origin, PlanePoint a, PlanePoint b) {
  return (a.x - origin.x) * (b.y - origin.y) - (a.y - origin.y) * (b.x - origin.x);
}

inline double distance_mm(PlanePoint a, PlanePoint b) {
  return std::sqrt((b.x - a.x) * (b.x - a.x) + (b.y - a.y) * (b.y - a.y));
}

/// Distance of a place from the segment a–b, squared, mm².
double squared_distance_mm2(PlanePoint place, PlanePoint a, PlanePoint b);

/// Whether the boxes around the segments a–b and c–d come within `reach_mm` of each other along both axes: where they
/// do not, neither do the segments.
inline bool boxes_within(PlanePoint a, PlanePoint b, PlanePoint c, PlanePoint d, double reach_mm) {
  return std::min(a.x, b.x) <= std::max(c.x, d.x) + reach_mm && std::max(a.x, b.x) >= std::min(c.x, d.x) - reach_mm &&
         std::min(a.y, b.y) <= std::max(c.y, d.y) + reach_mm && std::max(a.y, b.y) >= std::min(c.y, d.y) - reach_mm;
}

/// Distance between the segments a–b and c–d, squared, mm²; 0 where they cross.
double squared_distance_mm2(PlanePoint a, PlanePoint b, PlanePoint c, PlanePoint d);

/// The part of the segment a–b that lies within `reach_mm` of the segment p–q. That region is convex, so it is one
/// part.
std::optional<Span> part_within(PlanePoint a, PlanePoint b, PlanePoint p, PlanePoint q, double reach_mm);

}  // namespace beadwise
