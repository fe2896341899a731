#pragma once

#include <cstdint>

#include "model/track_samples.hpp"

namespace beadwise {

/// What lies beside a bead, on the line that crosses it at right angles.
struct SideGap {
  bool found = false;      ///< a bead within reach
  double near_mm = 0;      ///< from the bead's middle to the near edge of that bead
  double gap_mm = 0;       ///< that nothing covers between the two; 0 where they touch
  std::uint32_t bead = 0;  ///< that lies there
};

/// Looks to the left of a place of a bead (`sign` 1) or to the right (−1), `reach_mm` from its middle.
SideGap gap_beside(const BeadIndex& index, const TrackSample& sample, double sign, double reach_mm);

}  // namespace beadwise
