#pragma once

#include "model/indexed_layer.hpp"

namespace beadwise {

/// Takes as closed the tracks that stop feeding shortly before they are back and go on without filament to where they
/// began, a habit of slicing against blobs at the seam.
void close_coasted_loops(IndexedLayer& layer);

}  // namespace beadwise
