#pragma once

#include "base/circle.hpp"

namespace beadwise {

/// Cross-section of a bead, mm²: a rectangle with round ends, A = (w − h) h + π h²/4 for w >= h.
double bead_area_mm2(double width_mm, double height_mm);

/// Its inverse, mm: w = A/h + h (1 − π/4); where that is less than h the strand is round and does not touch flat, and
/// its diameter √(4A/π) is given.
double bead_width_mm(double area_mm2, double height_mm);

}  // namespace beadwise
