#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "model/lettering_shape.hpp"

namespace beadwise {

/// Pieces by place and size: what lies near a piece, at a cost that does not grow with the layer.
class GlyphIndex {
 public:
  explicit GlyphIndex(const std::vector<GlyphShape>& shapes);

  /// Fills `into` with the pieces of `least_mm` to `most_mm` in size whose middles lie within `reach_mm` of a place, in
  /// order of their numbers.
  void near(PlanePoint place, double reach_mm, double least_mm, double most_mm, std::vector<std::uint32_t>& into) const;

 private:
  struct Entry {
    std::int32_t row = 0;
    std::int32_t column = 0;
    std::uint32_t piece = 0;
  };
  /// Pieces of one octave of size, in cells as large as they are.
  struct Octave {
    double cell_mm = 1;
    std::vector<Entry> entries;  ///< by row, column, piece
  };
  const std::vector<GlyphShape>& shapes_;
  std::vector<Octave> octaves_;
};

}  // namespace beadwise
