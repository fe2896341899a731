#pragma once

#include <cstddef>
#include <vector>

#include "model/plane.hpp"

namespace beadwise {

/// A straight piece of a line on the plate.
struct PlaneSegment {
  PlanePoint from;
  PlanePoint to;
};

/// A piece of one layer that may be a glyph or a part of one: an island of beads, or a hole in one.
struct GlyphPiece {
  /// Middle lines of the beads that outline it, of those of its strokes where it has no outline, of the loop around a
  /// hole. Neither fill nor inner loops: copies of one thing are filled differently and would look like two.
  std::vector<PlaneSegment> lines;
  double margin_mm = 0;  ///< how far it reaches beyond its lines: half a bead's width; of a hole, less than 0
  double stroke_mm = 0;  ///< length of its strokes, measured along their middles: its area over `width_mm`
  double width_mm = 0;   ///< typical width of its strokes: twice its area over the length of its edges
  bool hole = false;     ///< lines of lettering are of islands or of holes, never of both
};

/// Pieces that stand along a line, straight or on a circle, as letters do.
struct LetteringLine {
  std::vector<std::size_t> pieces;  ///< indices, in order along the line
  /// Of the tallest letters, from the line on which they stand: of capitals, digits or small letters with ascenders
  /// where there are any, else of small letters. Where more of them share their tops than their feet (many descenders),
  /// from there down to the lower feet.
  double height_mm = 0;
  double stroke_width_mm = 0;  ///< median of its glyphs
  PlanePoint from_mm;          ///< where the line on which they stand begins, below the first piece
  PlanePoint to_mm;
  double angle_deg = 0;  ///< of that line against X, of a curved one at its middle; 0 to 180: upside down is not told
  bool curved = false;
  double radius_mm = 0;    ///< of the line on which they stand; 0 where it is straight
  PlanePoint center_mm;    ///< of a curved one
  std::size_t glyphs = 0;  ///< pieces that stack over each other across the line (an i and its dot, =, %) count as one
};

/// Glyphs taller than this are parts of a print, not its lettering: no printer loses them. Common practice.
constexpr double tallest_glyph_mm = 40;

/// The lines of lettering among the islands and holes of one layer, in order of their first pieces. Takes time in
/// proportion to the number of pieces and their lines. Pieces whose box is larger than six times `tallest_glyph_mm`
/// need not be given.
std::vector<LetteringLine> find_lettering(const std::vector<GlyphPiece>& pieces);

}  // namespace beadwise
