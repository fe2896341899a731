#pragma once

#include <span>

namespace beadwise {

/// A value and how much it counts.
struct Weighted {
  double value = 0;
  double weight = 0;
};

/// The least of the values up to which `share` (0 to 1) of all weight lies; 0 where there are none. `values` are left
/// in another order. Time grows with their number, however they come.
double weighted_quantile(std::span<Weighted> values, double share);

}  // namespace beadwise
