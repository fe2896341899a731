#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "model/lettering_baseline.hpp"
#include "model/lettering_index.hpp"

namespace beadwise {

/// Pieces that stand on one line, whether letters or not.
struct GlyphRow {
  Baseline line;
  double height_mm = 0;       ///< of the tallest that several share; where none do, of the tallest it began with
  std::vector<Stand> stands;  ///< in order along the line
  double score = 0;           ///< how much speaks for the line, in pieces
};

/// All pieces of a layer and which of them are letters already.
struct GlyphField {
  explicit GlyphField(std::vector<GlyphShape> all_shapes);
  GlyphField(const GlyphField&) = delete;
  GlyphField& operator=(const GlyphField&) = delete;

  std::vector<GlyphShape> shapes;
  GlyphIndex index;
  std::vector<char> taken;
  std::vector<char> likely;             ///< in a row that would be lettering if it were alone
  std::array<std::size_t, 2> unread{};  ///< islands, holes that may be letters and are neither taken nor likely

  /// Whether it may be a letter that is still looked for.
  bool free(std::uint32_t piece) const { return !taken[piece] && shapes[piece].build != GlyphBuild::solid; }
  /// The pieces of a row are letters.
  void take(const GlyphRow& row);
  /// The pieces of a row are likely letters.
  void expect(const GlyphRow& row);
  /// Pieces beside a row that may be letters and of which nothing is known.
  std::size_t strangers_to(const GlyphRow& row) const;
};

/// Heights of letters against the height of their line.
namespace letter {
constexpr double tall = 0.45;             ///< what is lower is a dash, a dot, a comma: no letter; common practice
constexpr double alignment = 0.08;        ///< round letters reach beyond flat ones by 2 to 5 %, and beads are not exact
constexpr double close_alignment = 0.05;  ///< of letters of one kind
constexpr double low = -0.5;              ///< descenders and commas
constexpr double high = 1.55;             ///< ascenders and accents over small letters
constexpr double word_space = 1.4;        ///< widest gap within a line; common practice is 0.3 to 1.1 cap heights
constexpr double least_radius = 1.8;      ///< what turns more tightly is no line
constexpr double widest_space = 2.2;      ///< where the letters are spaced too
}  // namespace letter

/// Whether a piece is high enough to be a letter of a line.
bool is_tall(const Stand& stand, double height_mm);
/// Whether a piece lies where letters of a line lie, with what reaches over and under it.
bool in_band(const Stand& stand, double height_mm);

/// In order along the line; of two at one place, as their numbers are.
void sort_along(std::vector<Stand>& stands);

/// A value that most of others share to within a tolerance.
struct Level {
  double at = 0;
  std::size_t count = 0;
};
/// `values` in ascending order.
Level densest(const std::vector<double>& values, double tolerance);

/// The two heights that most letters of a row share: capitals or ascenders, and small letters.
std::array<Level, 2> top_levels(const std::vector<Stand>& stands, double height_mm);

/// How much speaks for a line, in pieces: letters that stand on it and share their tops, less gaps and misfits.
/// `stands` in order along the line.
double score_of(const std::vector<Stand>& stands, double height_mm);

}  // namespace beadwise
