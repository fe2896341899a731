#pragma once

#include <numbers>

namespace beadwise {

/// π d²/4
inline double circle_area_mm2(double diameter_mm) { return std::numbers::pi * diameter_mm * diameter_mm / 4; }

}  // namespace beadwise
