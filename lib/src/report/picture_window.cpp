#include "report/picture_window.hpp"

#include <algorithm>
#include <cmath>

namespace beadwise {

namespace {

// A window shows single beads as long as it is no wider than about a hundred of them.
constexpr std::int64_t widest = 4800;
constexpr std::int64_t narrowest = 1600;
constexpr std::int64_t margin = 400;
constexpr std::int64_t aspect_width = 4;
constexpr std::int64_t aspect_height = 3;
// More would make the drawing of one finding larger than the words of the whole page.
constexpr std::size_t most_beads = 3000;
constexpr std::size_t most_beads_below = 2 * most_beads;
constexpr std::int64_t least_width = 400;

std::int32_t rounded(double mm) {
  constexpr double hundredths = 100;
  // 100 m: what a broken number asks for is drawn no farther away.
  constexpr double farthest = 1e7;
  return static_cast<std::int32_t>(std::lround(std::clamp(mm * hundredths, -farthest, farthest)));
}

PicturePoint at(const Place& place) { return {rounded(place.x_mm), rounded(place.y_mm)}; }

PictureWindow with(const PictureWindow& window, PicturePoint point) {
  return {{std::min(window.low.x, point.x), std::min(window.low.y, point.y)},
          {std::max(window.high.x, point.x), std::max(window.high.y, point.y)}};
}

bool fits(const PictureWindow& window) {
  return window.width() <= widest - 2 * margin && window.height() <= widest * aspect_height / aspect_width - 2 * margin;
}

/// The window around the middle of another, so wide, in the shape that all pictures have.
PictureWindow around(const PictureWindow& inner, std::int64_t width) {
  const std::int64_t height = width * aspect_height / aspect_width;
  const std::int64_t middle_x = (std::int64_t{inner.low.x} + inner.high.x) / 2;
  const std::int64_t middle_y = (std::int64_t{inner.low.y} + inner.high.y) / 2;
  const auto narrow = [](std::int64_t value) { return static_cast<std::int32_t>(value); };
  return {{narrow(middle_x - width / 2), narrow(middle_y - height / 2)},
          {narrow(middle_x - width / 2 + width), narrow(middle_y - height / 2 + height)}};
}

/// The low end of a stretch that shows as little as can be of what lies beside the layer.
std::int32_t shifted(std::int32_t low, std::int64_t length, std::int64_t layer_low, std::int64_t layer_high) {
  const std::int64_t first = layer_low - margin;
  const std::int64_t last = layer_high + margin - length;
  if (last < first) return static_cast<std::int32_t>((first + last) / 2);
  return static_cast<std::int32_t>(std::clamp<std::int64_t>(low, first, last));
}

/// The window around the middle of another, moved onto the layer.
PictureWindow onto(const PictureWindow& extent, const PictureWindow& inner, std::int64_t width) {
  PictureWindow window = around(inner, width);
  const std::int64_t height = window.height();
  window.low.x = shifted(window.low.x, width, extent.low.x, extent.high.x);
  window.low.y = shifted(window.low.y, height, extent.low.y, extent.high.y);
  window.high.x = static_cast<std::int32_t>(window.low.x + width);
  window.high.y = static_cast<std::int32_t>(window.low.y + height);
  return window;
}

std::int64_t width_for(const PictureWindow& inner) {
  const std::int64_t by_height = (inner.height() + 2 * margin) * aspect_width / aspect_height;
  return std::max({inner.width() + 2 * margin, by_height, narrowest});
}

std::size_t beads_in(const LayerPicture& layer, const PictureWindow& window) {
  return static_cast<std::size_t>(std::count_if(layer.beads.begin(), layer.beads.end(), [&](const PictureBead& bead) {
    return window.touches(bead.from, bead.to, bead.width);
  }));
}

const LayerPicture* layer_numbered(const Pictures& pictures, std::uint32_t number) {
  const auto found =
      std::lower_bound(pictures.layers.begin(), pictures.layers.end(), number,
                       [](const LayerPicture& layer, std::uint32_t wanted) { return layer.layer < wanted; });
  return found != pictures.layers.end() && found->layer == number && !found->beads.empty() ? &*found : nullptr;
}

/// What a layer lies on, if that was kept: not the layer before it where that belongs to another object.
const LayerPicture* below(const Pictures& pictures, const LayerPicture& layer) {
  if (layer.layer < 2) return nullptr;
  const LayerPicture* one = layer_numbered(pictures, layer.layer - 1);
  // A bead still rests on what lies a layer and a bit below it.
  constexpr double carrying_heights = 2.2;
  const bool carries =
      one != nullptr && one->z_mm < layer.z_mm && one->z_mm >= layer.z_mm - carrying_heights * layer.height_mm;
  return carries ? one : nullptr;
}

void close_in(PictureView& view, const PictureWindow& extent, const PictureWindow& inner) {
  std::int64_t width = view.window.width();
  while (width > least_width && beads_in(*view.layer, view.window) > most_beads) {
    width = width * 3 / 4;
    view.window = onto(extent, inner, width);
    view.whole_layer = false;
  }
}

/// The worst place, and those after it as long as all of them fit in.
PictureWindow box_of(const std::vector<Place>& places) {
  const PicturePoint worst = at(places.front());
  PictureWindow box{worst, worst};
  for (const Place& place : places) {
    const PictureWindow larger = with(box, at(place));
    if (fits(larger)) box = larger;
  }
  return box;
}

}  // namespace

bool PictureWindow::holds(PicturePoint point) const {
  return point.x >= low.x && point.x <= high.x && point.y >= low.y && point.y <= high.y;
}

bool PictureWindow::touches(PicturePoint from, PicturePoint to, std::int32_t width) const {
  const std::int32_t half = width / 2;
  return std::max(from.x, to.x) + half >= low.x && std::min(from.x, to.x) - half <= high.x &&
         std::max(from.y, to.y) + half >= low.y && std::min(from.y, to.y) - half <= high.y;
}

PictureWindow extent_of(const LayerPicture& layer) {
  if (layer.beads.empty()) return {};
  PictureWindow extent{layer.beads.front().from, layer.beads.front().from};
  for (const PictureBead& bead : layer.beads) extent = with(with(extent, bead.from), bead.to);
  return extent;
}

std::optional<PictureView> first_view(const Finding& finding, const Pictures& pictures) {
  PictureView view;
  for (const Place& place : finding.places.worst()) {
    if (view.layer == nullptr) view.layer = layer_numbered(pictures, place.layer);
    if (view.layer != nullptr && place.layer == view.layer->layer && place.has_position) view.places.push_back(place);
  }
  if (view.layer == nullptr) return std::nullopt;
  view.below = below(pictures, *view.layer);
  const PictureWindow extent = extent_of(*view.layer);
  const PictureWindow inner = view.places.empty() ? extent : box_of(view.places);
  view.whole_layer = fits(extent) || view.places.empty();
  view.window = view.whole_layer ? around(extent, width_for(extent)) : onto(extent, inner, width_for(inner));
  close_in(view, extent, inner);
  if (view.below != nullptr && beads_in(*view.below, view.window) > most_beads_below) view.below = nullptr;
  std::erase_if(view.places, [&](const Place& place) { return !view.window.holds(at(place)); });
  return view;
}

}  // namespace beadwise
