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

/// How letters stand on an upright face.
struct FaceSetting {
  double relief_mm = 0.5;
  bool sunk = false;          ///< into the face, not out of it
  double wall_mm = 4;         ///< how thick the body behind the face is
  double turn_deg = 0;        ///< of the face about the middle of its foot, against the clock
  double radius_mm = 0;       ///< of a round body whose front it is; straight for 0
  PlanePoint foot{100, 100};  ///< where the middle of the text stands
  double above_mm = 2;        ///< of the body over the letters
};

/// A body whose front carries letters, made of layers: in each, a row through the letters at the middle of its height.
/// Its walls are loops of one width, as far inside as half of it, however thin a stroke is: what is thinner than a bead
/// is not laid. The face is y = 0 before it is turned; letters are given as seen from the front, the plate at y = 0.
std::vector<LaidLayer> lettered_body(const std::vector<Region>& letters, const FaceSetting& setting,
                                     const PlateStyle& plates = {}, const MakerStyle& style = {});

/// What of one layer of such a body is printed at most, before it is laid as beads.
Region body_section(const Region& letters, double from_mm, double to_mm, double z_mm, const FaceSetting& setting);

/// Loops around a region, side by side, and nothing inside them.
std::vector<LaidTrack> loops_around(const Region& region, const MakerStyle& style = {});

}  // namespace beadwise::tests
