#pragma once

#include <string>
#include <vector>

#include "beadwise/picture.hpp"

namespace beadwise {

/// A named position along a strip, as a share (0 to 1) of its length.
struct StripTick {
  double share = 0;
  std::string label;
};

/// A few round times (30 s, 10 min, 2 h) or lengths along a strip.
std::vector<StripTick> ticks_of(StripAxis along, double from, double to);

/// "12 min", "1 h 30 min"; "3.4 m".
std::string position_text(StripAxis along, double position);

}  // namespace beadwise
