#include <algorithm>

#include "beadwise/bead.hpp"

namespace beadwise {

void Box::add(const Point& point) {
  low = {std::min(low.x, point.x), std::min(low.y, point.y), std::min(low.z, point.z)};
  high = {std::max(high.x, point.x), std::max(high.y, point.y), std::max(high.z, point.z)};
}

void Box::add(const Box& box) {
  if (box.empty()) return;
  add(box.low);
  add(box.high);
}

}  // namespace beadwise
