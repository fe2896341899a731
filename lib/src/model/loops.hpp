#pragma once

#include <cstdint>
#include <vector>

#include "model/indexed_layer.hpp"

namespace beadwise {

/// Beads that come back to where they began: a closed track, or several that go on from each other because the comments
/// name parts of the loop apart.
struct Loop {
  std::uint32_t first = 0;  ///< bead
  std::uint32_t beads = 0;
  std::uint32_t first_track = 0;
  std::uint32_t tracks = 0;
  double length_mm = 0;
};

/// The loops of a layer whose tracks are known, in the order in which they are laid.
std::vector<Loop> find_loops(const IndexedLayer& layer);

}  // namespace beadwise
