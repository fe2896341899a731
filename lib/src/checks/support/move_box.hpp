#pragma once

#include "beadwise/bead.hpp"
#include "beadwise/move.hpp"

namespace beadwise::checks {

/// The box around the whole path of a move; an arc's bulge included. `arc` is null for a straight move.
Box box_of(const Move& move, const Arc* arc);

}  // namespace beadwise::checks
