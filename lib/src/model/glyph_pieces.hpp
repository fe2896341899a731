#pragma once

#include <cstdint>
#include <vector>

#include "model/indexed_layer.hpp"
#include "model/lettering.hpp"

namespace beadwise {

/// Where a piece comes from.
struct PieceOrigin {
  std::uint32_t island = 0;  ///< itself, or the one that the hole is in
  std::uint32_t track = 0;   ///< of a hole: the loop around it
};

/// What of a layer may be glyphs: its islands, and the holes in the larger ones, up to the size of a glyph.
struct GlyphPieces {
  std::vector<GlyphPiece> pieces;
  std::vector<PieceOrigin> origins;  ///< of each piece
};

/// Thickness and length of strokes are those of a strip with the same area and outline: area = length × thickness,
/// outline = 2 × length. Skirts, prime lines, supports and rafts are left out.
GlyphPieces glyph_pieces(const IndexedLayer& layer);

}  // namespace beadwise
