#include "analyse/name_objects.hpp"

#include <set>

namespace beadwise {

namespace {

// A place that lies higher over an object, as where the head is parked, is no place of it. Lifts are lower: common
// practice.
constexpr double over_object_mm = 2;

}  // namespace

void name_objects(const ObjectStack& stack, std::vector<Finding>& findings) {
  std::vector<double> top_mm(stack.objects().size() + 1, -1e300);
  for (const ObjectFigures& object : named_objects(stack.objects())) top_mm[object.object] = object.z_mm.high;
  for (Finding& finding : findings) {
    std::set<std::uint32_t> numbers;
    for (const Place& place : finding.places.worst()) {
      if (!place.has_position || place.layer == 0) continue;
      const std::uint32_t number = stack.object_at({place.x_mm, place.y_mm});
      if (number > 0 && place.z_mm <= top_mm[number] + over_object_mm) numbers.insert(number);
    }
    finding.objects.assign(numbers.begin(), numbers.end());
  }
}

}  // namespace beadwise
