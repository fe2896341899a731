#pragma once

#include "model/lettering_row.hpp"

namespace beadwise {

/// The row with all that stands on its line, the line laid through them anew.
GlyphRow grown(const GlyphField& field, GlyphRow row);

/// The row the way up in which more of its letters stand on its line.
GlyphRow upright(const GlyphField& field, const GlyphRow& row);

/// Two rows as one, on the line that fits both best.
GlyphRow joined(const GlyphField& field, const GlyphRow& a, const GlyphRow& b);

/// The widest gap within a line, mm: more where the letters themselves are spaced.
double widest_gap_mm(const GlyphRow& row);

}  // namespace beadwise
