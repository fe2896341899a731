#pragma once

#include <algorithm>
#include <cmath>

namespace beadwise::checks {

/// How far to lift the nozzle on travels, mm, in whole tenths: clear of what a travel at `least_mm` still touches, and
/// no less than 0.2 mm, which is common practice.
inline double lift_to_try_mm(double least_mm) {
  constexpr double usual_lift_mm = 0.2;
  constexpr double steps_per_mm = 10;
  return std::ceil(std::max(least_mm, usual_lift_mm) * steps_per_mm - 1e-9) / steps_per_mm;
}

}  // namespace beadwise::checks
