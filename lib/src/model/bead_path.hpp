#pragma once

#include <vector>

#include "beadwise/bead.hpp"

namespace beadwise {

/// The point of a bead after the given share (0 to 1) of it; `arcs` are those of its layer.
Point point_on_bead(const Bead& bead, const std::vector<Arc>& arcs, double share);

}  // namespace beadwise
