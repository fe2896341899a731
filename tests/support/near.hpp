#pragma once

#include <cmath>

namespace beadwise::tests {

/// Whether two figures agree to an absolute tolerance, in their own unit. (doctest's Approx is relative, which is wrong
/// for millimetres near the origin.)
inline bool near(double measured, double expected, double tolerance) {
  return std::fabs(measured - expected) <= tolerance;
}

}  // namespace beadwise::tests
