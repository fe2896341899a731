#pragma once

#include "model/lettering_row.hpp"

namespace beadwise {

/// The row that most speaks for among those that run through a piece and a neighbour of it, or on a circle through two;
/// no stands where none does.
GlyphRow best_row(const GlyphField& field, std::uint32_t piece);

}  // namespace beadwise
