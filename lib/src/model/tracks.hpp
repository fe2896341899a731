#pragma once

#include "model/indexed_layer.hpp"

namespace beadwise {

/// Fills `tracks` and `track_of` of a layer from its beads.
void find_tracks(IndexedLayer& layer);

}  // namespace beadwise
