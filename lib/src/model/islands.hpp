#pragma once

#include "model/indexed_layer.hpp"

namespace beadwise {

/// Fills `islands` and `island_of` of a layer whose index and tracks stand. Two beads belong together where their
/// footprints, wider by `BeadIndex::touch_ratio`, touch.
void find_islands(IndexedLayer& layer);

}  // namespace beadwise
