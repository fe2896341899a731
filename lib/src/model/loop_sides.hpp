#pragma once

#include "model/indexed_layer.hpp"
#include "model/loops.hpp"

namespace beadwise {

/// On which sides of a loop, as the nozzle goes, the printed region of its island ends.
struct LoopSides {
  bool left_free = false;
  bool right_free = false;
};

/// A side is free where nothing lies beside the loop and what comes next on that side is no fill of its island; looks
/// for fill only where the island `has_fill`.
LoopSides sides_of_loop(const IndexedLayer& layer, const Loop& loop, bool has_fill);

}  // namespace beadwise
