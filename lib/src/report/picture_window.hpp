#pragma once

#include <optional>
#include <vector>

#include "beadwise/finding.hpp"
#include "beadwise/picture.hpp"

namespace beadwise {

/// A part of the plate, in hundredths of a millimetre.
struct PictureWindow {
  PicturePoint low;
  PicturePoint high;

  std::int64_t width() const { return std::int64_t{high.x} - low.x; }
  std::int64_t height() const { return std::int64_t{high.y} - low.y; }
  bool holds(PicturePoint point) const;
  /// Whether a straight piece of some width may show in it: by its box.
  bool touches(PicturePoint from, PicturePoint to, std::int32_t width) const;
};

/// What is drawn of a finding: a window of a layer, and the places in it, the worst first.
struct PictureView {
  const LayerPicture* layer = nullptr;
  const LayerPicture* below = nullptr;  ///< what it lies on, where that was kept
  PictureWindow window;
  bool whole_layer = false;
  std::vector<Place> places;  ///< of that layer, inside the window
};

/// The first picture of a finding: of the layer of its worst place as far as that layer was kept.
std::optional<PictureView> first_view(const Finding& finding, const Pictures& pictures);

/// The box of all beads of a layer.
PictureWindow extent_of(const LayerPicture& layer);

}  // namespace beadwise
