#pragma once

#include <vector>

#include "support/letter_print.hpp"
#include "support/regions.hpp"

namespace beadwise::tests {

/// How thick a plate and the letters on it are.
struct PlateStyle {
  double layer_height_mm = 0.2;
  int plate_layers = 2;
  int letter_layers = 2;
};

/// Tracks of one letter after the other.
std::vector<LaidTrack> lay_each(const std::vector<Region>& letters, const MakerStyle& style = {});

/// Strokes of one width, such as those of a face without outlines.
std::vector<LaidTrack> single_strokes(const std::vector<std::vector<PlanePoint>>& strokes, double width_mm);

/// Letters raised from a plate; on the bed itself where the plate is empty or has no layers.
std::vector<LaidLayer> raised(const std::vector<LaidTrack>& letters, const Region& plate, const PlateStyle& plates = {},
                              const MakerStyle& style = {});

/// Letters sunk into a plate: holes with loops around them, over a floor without.
std::vector<LaidLayer> sunk(const std::vector<Region>& letters, const Region& plate, const PlateStyle& plates = {},
                            const MakerStyle& style = {});

/// Letters of a second tool, laid into the holes of a plate.
std::vector<LaidLayer> inlaid(const std::vector<Region>& letters, const Region& plate, const PlateStyle& plates = {},
                              const MakerStyle& style = {});

/// Letters that stand out `relief_mm` from the front of an upright wall, made of layers: in each, a row through the
/// letters. The wall's front is y = 0, its foot z = 0; letters are given as seen from the front.
std::vector<LaidLayer> upright(const std::vector<Region>& letters, double wall_mm, double relief_mm,
                               const PlateStyle& plates = {}, const MakerStyle& style = {});

}  // namespace beadwise::tests
