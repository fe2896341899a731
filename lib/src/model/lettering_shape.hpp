#pragma once

#include <array>
#include <vector>

#include "model/lettering.hpp"

namespace beadwise {

/// What a piece looks like, beyond its place.
enum class GlyphBuild {
  solid,   ///< no strokes: a blob, or lines side by side; at most the dot of a letter
  bar,     ///< one straight stroke: I, l, a dash; or a rib, a pin
  ring,    ///< one loop around nothing: O, 0; or a sleeve, a boss, a support
  figure,  ///< strokes that bend or branch
};

/// A piece as seen by whoever looks for letters: its outline's hull and its measures.
struct GlyphShape {
  std::vector<PlanePoint> hull;  ///< around its lines, against the clock; empty for what is too large
  PlanePoint middle;
  double margin_mm = 0;
  double width_mm = 0;
  double stroke_mm = 0;
  double size_mm = 0;    ///< greatest extent
  double narrow_mm = 0;  ///< least extent between parallel lines
  GlyphBuild build = GlyphBuild::solid;
  bool hole = false;
  /// Shares of its size: strokes, least extent, both principal scatters, hull's area, how far its lines lie to one side
  /// and from the middle. The same for copies, turned or mirrored. Filled in by `measure_form`.
  std::array<double, 7> form{};
};

/// A piece's hull, measures and build, without its form.
GlyphShape shape_of(const GlyphPiece& piece);

/// Fills in `form`, which is all that tells one figure from another.
void measure_form(const GlyphPiece& piece, GlyphShape& shape);

/// Whether two pieces are copies of one another, as far as slicing lets them be.
bool alike(const GlyphShape& a, const GlyphShape& b);

}  // namespace beadwise
