#pragma once

#include <vector>

#include "model/lettering_row.hpp"

namespace beadwise {

/// Makes one row of those that run on in each other: words with a wide space, halves of a circle.
void join_rows(const GlyphField& field, std::vector<GlyphRow>& rows);

/// Adds the short lines beside lines of lettering: a word or a number that would not be known on its own.
void add_company(GlyphField& field, std::vector<GlyphRow>& rows);

}  // namespace beadwise
