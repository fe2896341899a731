#pragma once

#include <cstdint>
#include <vector>

#include "model/indexed_layer.hpp"
#include "model/loops.hpp"

namespace beadwise {

/// A straight piece of a wall's middle line, with the printed region on its left.
struct WallPiece {
  PlanePoint from;
  PlanePoint to;
  double half_mm = 0;  ///< of its bead's width
  std::uint32_t bead = 0;
};

/// Walls step out and in by relief between these depths, mm; beyond is another wall, short of it the machine's own
/// waviness (common practice).
struct StepLimits {
  double least_mm = 0.05;
  double most_mm = 3.2;
};

/// Whether a loop goes on beside itself at least twice, in the same direction and a step aside: what every relief on a
/// wall does, and smooth walls never do. Time in proportion to its footprints, little for each.
bool has_steps(const IndexedLayer& layer, const Loop& loop, const StepLimits& limits = {});

/// The pieces of a loop that is the outer wall of its island, closed, the printed region on their left; none of another
/// loop.
std::vector<WallPiece> wall_pieces(const IndexedLayer& layer, const Loop& loop);

/// For each step of a wall the longer of the two pieces that run beside each other, the longest first; at most `most`.
std::vector<WallPiece> stepping_pieces(const std::vector<WallPiece>& pieces, std::size_t most,
                                       const StepLimits& limits = {});

}  // namespace beadwise
