#pragma once

#include "model/indexed_layer.hpp"

namespace beadwise {

/// Fills `islands` and `island_of` of a layer whose index and tracks stand. Two beads belong together where their
/// footprints, wider by `BeadIndex::touch_ratio`, touch.
void find_islands(IndexedLayer& layer);

/// Whether boxes around middle lines come within reach of each other, seen from above.
inline bool overlap(const Box& a, const Box& b, double reach_mm) {
  return a.low.x <= b.high.x + reach_mm && b.low.x <= a.high.x + reach_mm && a.low.y <= b.high.y + reach_mm &&
         b.low.y <= a.high.y + reach_mm;
}

}  // namespace beadwise
