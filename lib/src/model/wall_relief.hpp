#pragma once

#include <cstdint>
#include <vector>

#include "model/lettering.hpp"
#include "model/wall_face.hpp"

namespace beadwise {

/// A stretch of one layer of a face that stands out of it, or lies sunk in it, by the depth of the relief.
struct ReliefCell {
  double from_mm = 0;  ///< along the face
  double to_mm = 0;
  double half_mm = 0;  ///< of its bead's width
  std::uint64_t line = 0;
  std::uint32_t piece = 0;  ///< index into the pieces
};

/// Whether two cells have a stretch of the face in common.
inline bool meet(const ReliefCell& a, const ReliefCell& b) { return a.from_mm < b.to_mm && b.from_mm < a.to_mm; }

/// One layer of a relief; layers without relief have no cells.
struct ReliefRow {
  std::uint32_t layer = 0;
  double bottom_mm = 0;
  double top_mm = 0;
  std::vector<ReliefCell> cells;  ///< in order along the face
};

/// What stands out of an upright face by one depth, or is sunk into it.
struct WallRelief {
  bool sunk = false;
  double depth_mm = 0;
  double layer_mm = 0;          ///< usual height of its layers
  double base_mm = 0;           ///< where the face stands, out of its line
  std::vector<ReliefRow> rows;  ///< each lies on the one before
  /// Connected parts of it, seen from outside: x along the face, y the height over the plate. Their outlines run from
  /// layer to layer through the middles of their sides.
  std::vector<GlyphPiece> pieces;
};

/// The depth at which most of a face lies, and where another is nearly as common, that: it stands at one of them.
std::vector<double> depths_of(const WallFace& face);

/// The reliefs of a face that stands at `base_mm`, raised and sunk: what most of what steps out, or in, has in common.
/// None where the depths are many, as on a rough face.
std::vector<WallRelief> reliefs_of(const WallFace& face, double base_mm);

}  // namespace beadwise
