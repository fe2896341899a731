#include "checks/support/move_box.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace beadwise::checks {
namespace {

void stretch(Box& box, double Point::*axis, double value) {
  box.low.*axis = std::min(box.low.*axis, value);
  box.high.*axis = std::max(box.high.*axis, value);
}

}  // namespace

Box box_of(const Move& move, const Arc* arc) {
  Box box;
  for (double Point::*axis : {&Point::x, &Point::y, &Point::z}) {
    box.low.*axis = std::min(move.from_mm.*axis, move.to_mm.*axis);
    box.high.*axis = std::max(move.from_mm.*axis, move.to_mm.*axis);
  }
  if (arc == nullptr) return box;
  double Point::*first = arc->plane == 19 ? &Point::y : arc->plane == 18 ? &Point::z : &Point::x;
  double Point::*second = arc->plane == 19 ? &Point::z : arc->plane == 18 ? &Point::x : &Point::y;
  constexpr double quarter = std::numbers::pi / 2;
  const double from = std::min(arc->start_rad, arc->start_rad + arc->sweep_rad);
  const double to = std::max(arc->start_rad, arc->start_rad + arc->sweep_rad);
  // The outermost points of a circle lie at whole quarters; a full turn passes four of them, more turns no others.
  const double turns_left_out = std::max(0.0, std::floor((to - from) / (4 * quarter)) - 1) * 4 * quarter;
  for (double quarters = std::ceil(from / quarter); quarters * quarter <= to - turns_left_out; ++quarters) {
    stretch(box, first, arc->center_mm[0] + arc->radius_mm * std::cos(quarters * quarter));
    stretch(box, second, arc->center_mm[1] + arc->radius_mm * std::sin(quarters * quarter));
  }
  return box;
}

}  // namespace beadwise::checks
