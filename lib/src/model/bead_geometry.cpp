#include "model/bead_geometry.hpp"

#include <cmath>
#include <numbers>

namespace beadwise {

double bead_area_mm2(double width_mm, double height_mm) {
  return (width_mm - height_mm) * height_mm + circle_area_mm2(height_mm);
}

double bead_width_mm(double area_mm2, double height_mm) {
  if (height_mm <= 0) return std::sqrt(4 * area_mm2 / std::numbers::pi);
  const double width_mm = area_mm2 / height_mm + height_mm * (1 - std::numbers::pi / 4);
  return width_mm >= height_mm ? width_mm : std::sqrt(4 * area_mm2 / std::numbers::pi);
}

}  // namespace beadwise
