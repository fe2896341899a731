#pragma once

#include <cstdint>
#include <vector>

#include "model/lettering.hpp"
#include "model/wall_faces.hpp"
#include "model/wall_relief.hpp"

namespace beadwise {

/// What of letters on an upright face is too fine.
struct UprightLimits {
  int stroke_layers = 2;       ///< level strokes of fewer layers,
  double stroke_mm = 0.3;      ///< or lower than this; upright strokes that are sunk and narrower
  double stroke_beads = 1.25;  ///< upright strokes that are raised and narrower along the wall
  int gap_layers = 2;          ///< gaps of fewer layers
  double gap_beads = 0.5;      ///< gaps narrower along the wall
};

/// A place on an upright face, and how wide or high what was measured there is.
struct UprightPlace {
  double value = 0;  ///< mm, or layers
  PlanePoint from;   ///< its ends along the wall, on the printed surface
  PlanePoint to;
  double z_mm = 0;
  std::uint32_t layer = 0;
  std::uint64_t line = 0;
};

/// A line of letters that stand out of an upright face, or are sunk into it: made of layers.
struct UprightLettering {
  LetteringLine line;  ///< seen from outside: x along the wall, y the height over the plate
  bool sunk = false;
  double depth_mm = 0;     ///< of the relief
  double bead_mm = 0;      ///< width of the wall's bead
  double layer_mm = 0;     ///< usual height of its layers
  double radius_mm = 0;    ///< of a round face, else 0
  double outward_deg = 0;  ///< the way out of the face at the middle of the letters, against X
  Box box_mm;
  std::uint32_t first_layer = 0;
  std::uint32_t last_layer = 0;
  UprightPlace first_place;         ///< of its first layer
  double stroke_length_mm = 0;      ///< of all strokes together
  int asked_layers = 0;             ///< of level strokes, by the limits
  double asked_mm = 0;              ///< of upright strokes along the wall, likewise
  int lowest_layers = 0;            ///< of its lowest level stroke; 0 where it has none of up to `most_level_layers`
  double low_length_mm = 0;         ///< of level strokes of fewer layers than asked
  double narrowest_mm = 1e300;      ///< of its upright strokes, along the wall; infinite where none is narrow
  double narrow_length_mm = 0;      ///< of upright strokes narrower than asked
  double narrowest_gap_mm = 1e300;  ///< along the wall, of those narrower than asked
  std::uint32_t closing_gaps = 0;   ///< of them, and of those of fewer layers than asked
  int lowest_gap_layers = 0;        ///< of those of fewer layers than asked; 0 where there are none
  std::vector<UprightPlace> low_strokes;  ///< at most `most_upright_places`
  std::vector<UprightPlace> narrow_strokes;
  std::vector<UprightPlace> gaps;
};

constexpr int most_level_layers = 12;
constexpr std::size_t most_upright_places = 64;

/// Finds lettering on the upright faces of a print: on each layer of a face the outer wall steps out, or in, by the
/// depth of the relief; over the layers the stretches between these steps make letters.
class UprightLetterFinder {
 public:
  explicit UprightLetterFinder(const UprightLimits& limits = {});
  UprightLetterFinder(const UprightLetterFinder&) = delete;
  UprightLetterFinder& operator=(const UprightLetterFinder&) = delete;

  /// Layers in the order of the file. Walls without steps cost next to nothing.
  void add(const IndexedLayer& layer) { faces_.add(layer); }
  /// No more layers come; what was found is complete.
  void finish() { faces_.finish(); }

  const std::vector<UprightLettering>& found() const { return found_; }

 private:
  void look_at(const WallFace& face);
  void take_in(const WallFace& face, const WallRelief& relief);

  UprightLimits limits_;
  WallFaces faces_;
  std::vector<UprightLettering> found_;
};

}  // namespace beadwise
