#include "support/letter_plates.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace beadwise::tests {

namespace {

// Beyond the letters of an upright wall, at its sides and its top.
constexpr double wall_margin_mm = 2;
// Of a round body: chords this long are at most 0.003 mm off at a radius of 10 mm.
constexpr double arc_step_mm = 0.5;

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

struct Extent {
  PlanePoint low{1e9, 1e9};
  PlanePoint high{-1e9, -1e9};
};

Extent extent_of(const Region& region) {
  Extent extent;
  for (const Area& area : region)
    for (const PlanePoint corner : area.outer) {
      extent.low = {std::min(extent.low.x, corner.x), std::min(extent.low.y, corner.y)};
      extent.high = {std::max(extent.high.x, corner.x), std::max(extent.high.y, corner.y)};
    }
  return extent;
}

void add_loop(Outline outline, bool against_the_clock, int loop, const MakerStyle& style,
              std::vector<LaidTrack>& tracks) {
  if ((signed_area_mm2(outline) > 0) != against_the_clock) std::reverse(outline.begin(), outline.end());
  LaidTrack track{loop == 0 ? LaidPart::outline : LaidPart::inner, {}};
  for (std::size_t i = 0; i < outline.size(); ++i)
    track.beads.push_back({outline[i], outline[(i + 1) % outline.size()], style.nozzle_mm});
  if (!track.beads.empty()) tracks.push_back(std::move(track));
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
  const auto [low, high] = extent_of(all);
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

std::vector<LaidTrack> loops_around(const Region& region, const MakerStyle& style) {
  std::vector<LaidTrack> tracks;
  for (int loop = 0; loop < style.outlines; ++loop) {
    const double inside_mm = style.nozzle_mm / 2 + loop * (style.nozzle_mm - style.overlap_mm);
    for (const Area& area : inset(region, inside_mm)) {
      add_loop(area.outer, true, loop, style, tracks);
      for (const Outline& hole : area.holes) add_loop(hole, false, loop, style, tracks);
    }
  }
  return tracks;
}

Region body_section(const Region& letters, double from_mm, double to_mm, double z_mm, const FaceSetting& setting) {
  const double middle_mm = (from_mm + to_mm) / 2;
  const double half_mm = (to_mm - from_mm) / 2 + wall_margin_mm;
  const double turn_rad = setting.turn_deg * std::numbers::pi / 180;
  // Corners of a strip along the face, from one depth to the other.
  const auto strip = [&](double from, double to, double low, double high) {
    Outline outline;
    const int steps = setting.radius_mm > 0 ? std::max(1, static_cast<int>(std::ceil((to - from) / arc_step_mm))) : 1;
    const auto add = [&](double along, double y) {
      PlanePoint at{along, y};
      if (setting.radius_mm > 0) {
        const double angle = along / setting.radius_mm;
        at = {(setting.radius_mm - y) * std::sin(angle), setting.radius_mm - (setting.radius_mm - y) * std::cos(angle)};
      }
      outline.push_back({setting.foot.x + std::cos(turn_rad) * at.x - std::sin(turn_rad) * at.y,
                         setting.foot.y + std::sin(turn_rad) * at.x + std::cos(turn_rad) * at.y});
    };
    for (int i = 0; i <= steps; ++i) add(from + (to - from) * i / steps, low);
    for (int i = steps; i >= 0; --i) add(from + (to - from) * i / steps, high);
    return united({{{outline, {}}}});
  };
  Region body = strip(-half_mm, half_mm, 0, setting.wall_mm);
  if (setting.radius_mm > 0) {
    const double half_turn_mm = std::numbers::pi * setting.radius_mm;
    body = united({strip(-half_turn_mm, 0, 0, setting.wall_mm), strip(0, half_turn_mm, 0, setting.wall_mm)});
  }
  std::vector<Region> steps;
  const std::vector<double> crossed = crossings(letters, z_mm);
  const double out_mm = setting.sunk ? setting.relief_mm : -setting.relief_mm;
  // Beyond the face, so that both are one.
  const double joint_mm = setting.sunk ? -1 : 1;
  for (std::size_t i = 0; i + 1 < crossed.size(); i += 2)
    steps.push_back(strip(crossed[i] - middle_mm, crossed[i + 1] - middle_mm, std::min(out_mm, joint_mm),
                          std::max(out_mm, joint_mm)));
  if (steps.empty()) return body;
  if (setting.sunk) return without(body, united(steps));
  steps.push_back(body);
  return united(steps);
}

std::vector<LaidLayer> lettered_body(const std::vector<Region>& letters, const FaceSetting& setting,
                                     const PlateStyle& plates, const MakerStyle& style) {
  const Region all = united(letters);
  const auto [low, high] = extent_of(all);
  std::vector<LaidLayer> layers;
  for (double z = plates.layer_height_mm / 2; z < high.y + setting.above_mm; z += plates.layer_height_mm)
    layers.push_back(
        {plates.layer_height_mm, {{0, loops_around(body_section(all, low.x, high.x, z, setting), style)}}});
  return layers;
}

}  // namespace beadwise::tests
