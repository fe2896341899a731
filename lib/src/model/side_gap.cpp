#include "model/side_gap.hpp"

#include <algorithm>

namespace beadwise {

SideGap gap_beside(const BeadIndex& index, const TrackSample& sample, double sign, double reach_mm) {
  // The coordinates of files are rounded to so much.
  constexpr double slack_mm = 1e-3;
  const PlanePoint a = sample.place;
  const PlanePoint way{sign * sample.left.x, sign * sample.left.y};
  const PlanePoint b = sample.aside(sign * reach_mm);
  double covered_mm = sample.width_mm / 2;
  SideGap next;
  index.near(a, b, 0, [&](const Footprint& footprint) {
    if (footprint.bead == sample.bead) return;
    const PlanePoint p{footprint.from().x - a.x, footprint.from().y - a.y};
    const PlanePoint q{footprint.to().x - a.x, footprint.to().y - a.y};
    const double half_mm = footprint.half_mm();
    // Most of what is near lies wholly to one side of the line, or beyond its ends.
    const double p_along = p.x * way.x + p.y * way.y;
    const double q_along = q.x * way.x + q.y * way.y;
    const double far_mm = next.found ? next.near_mm : reach_mm;
    if (std::max(p_along, q_along) + half_mm < 0 || std::min(p_along, q_along) - half_mm > far_mm) return;
    const double p_across = p.x * way.y - p.y * way.x;
    const double q_across = q.x * way.y - q.y * way.x;
    if (std::min(p_across, q_across) > half_mm || std::max(p_across, q_across) < -half_mm) return;
    const auto part = part_within(a, b, footprint.from(), footprint.to(), half_mm);
    if (!part) return;
    const double from_mm = part->from * reach_mm;
    if (from_mm <= slack_mm) {
      covered_mm = std::max(covered_mm, part->to * reach_mm);
    } else if (!next.found || from_mm < next.near_mm || (from_mm == next.near_mm && footprint.bead < next.bead)) {
      next = {.found = true, .near_mm = from_mm, .bead = footprint.bead};
    }
  });
  if (next.found && next.near_mm - covered_mm > slack_mm) next.gap_mm = next.near_mm - covered_mm;
  return next;
}

}  // namespace beadwise
