#include "support/letter_plates.hpp"

#include <algorithm>
#include <cmath>

namespace beadwise::tests {

namespace {

// Beyond the letters of an upright wall, at its sides and its top.
constexpr double wall_margin_mm = 2;

/// Lines of one layer cross those of the layer below.
MakerStyle crosswise(MakerStyle style, std::size_t layer) {
  if (layer % 2 == 1) style.fill_angle_deg += 90;
  return style;
}

void add_layers(const Region& shape, int count, const PlateStyle& plates, const MakerStyle& style,
                std::vector<LaidLayer>& layers) {
  for (int i = 0; i < count; ++i)
    layers.push_back({plates.layer_height_mm, {{0, lay(shape, crosswise(style, layers.size()))}}});
}

}  // namespace

std::vector<LaidTrack> lay_each(const std::vector<Region>& letters, const MakerStyle& style) {
  std::vector<LaidTrack> tracks;
  for (const Region& letter : letters)
    for (LaidTrack& track : lay(letter, style)) tracks.push_back(std::move(track));
  return tracks;
}

std::vector<LaidTrack> single_strokes(const std::vector<std::vector<PlanePoint>>& strokes, double width_mm) {
  std::vector<LaidTrack> tracks;
  for (const std::vector<PlanePoint>& stroke : strokes) {
    LaidTrack track;
    for (std::size_t i = 1; i < stroke.size(); ++i) track.beads.push_back({stroke[i - 1], stroke[i], width_mm});
    if (!track.beads.empty()) tracks.push_back(std::move(track));
  }
  return tracks;
}

std::vector<LaidLayer> raised(const std::vector<LaidTrack>& letters, const Region& plate, const PlateStyle& plates,
                              const MakerStyle& style) {
  std::vector<LaidLayer> layers;
  if (!plate.empty()) add_layers(plate, plates.plate_layers, plates, style, layers);
  for (int i = 0; i < plates.letter_layers; ++i) layers.push_back({plates.layer_height_mm, {{0, letters}}});
  return layers;
}

std::vector<LaidLayer> sunk(const std::vector<Region>& letters, const Region& plate, const PlateStyle& plates,
                            const MakerStyle& style) {
  std::vector<LaidLayer> layers;
  add_layers(plate, plates.plate_layers, plates, style, layers);
  add_layers(without(plate, united(letters)), plates.letter_layers, plates, style, layers);
  return layers;
}

std::vector<LaidLayer> inlaid(const std::vector<Region>& letters, const Region& plate, const PlateStyle& plates,
                              const MakerStyle& style) {
  std::vector<LaidLayer> layers = sunk(letters, plate, plates, style);
  const std::vector<LaidTrack> inlay = lay_each(letters, style);
  for (std::size_t i = static_cast<std::size_t>(plates.plate_layers); i < layers.size(); ++i)
    layers[i].tools.push_back({1, inlay});
  return layers;
}

std::vector<LaidLayer> upright(const std::vector<Region>& letters, double wall_mm, double relief_mm,
                               const PlateStyle& plates, const MakerStyle& style) {
  const Region all = united(letters);
  PlanePoint low{1e9, 1e9};
  PlanePoint high{-1e9, -1e9};
  for (const Area& area : all)
    for (const PlanePoint corner : area.outer) {
      low = {std::min(low.x, corner.x), std::min(low.y, corner.y)};
      high = {std::max(high.x, corner.x), std::max(high.y, corner.y)};
    }
  const double width_mm = high.x - low.x + 2 * wall_margin_mm;
  const Region wall = rectangular(width_mm, wall_mm, {low.x - wall_margin_mm, 0});
  std::vector<LaidLayer> layers;
  for (double z = plates.layer_height_mm / 2; z < high.y + wall_margin_mm; z += plates.layer_height_mm) {
    std::vector<Region> section{wall};
    const std::vector<double> crossed = crossings(all, z);
    for (std::size_t i = 0; i + 1 < crossed.size(); i += 2)
      section.push_back(rectangular(crossed[i + 1] - crossed[i], relief_mm, {crossed[i], -relief_mm}));
    layers.push_back({plates.layer_height_mm, {{0, lay(united(section), crosswise(style, layers.size()))}}});
  }
  return layers;
}

}  // namespace beadwise::tests
