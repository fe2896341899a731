#pragma once

#include <vector>

#include "model/indexed_layer.hpp"

namespace beadwise {

/// A layer that several tools laid, taken apart: one layer for each tool, with islands and roles of its own, without
/// travels. Nothing where one tool laid it all.
std::vector<IndexedLayer> layers_by_tool(const IndexedLayer& layer);

}  // namespace beadwise
