#include "analyse/draw_layer.hpp"

#include <algorithm>
#include <span>

#include "analyse/wanted_layers.hpp"

namespace beadwise {

namespace {

// Of a layer too large to be kept whole, a window that holds what is shown of any finding.
constexpr std::int32_t window = 3000;
// A nozzle that travels this much higher than its layer touches nothing that is laid well.
constexpr double lift_mm = 0.02;
constexpr std::size_t most_travels = 50'000;

PicturePart part_of(BeadRole role) {
  switch (role) {
    case BeadRole::unknown:
      return PicturePart::unknown;
    case BeadRole::outer_perimeter:
      return PicturePart::outline;
    case BeadRole::perimeter:
      return PicturePart::wall;
    case BeadRole::support:
    case BeadRole::support_interface:
    case BeadRole::skirt:
    case BeadRole::brim:
    case BeadRole::raft:
    case BeadRole::prime:
      return PicturePart::apart;
    default:
      return PicturePart::fill;
  }
}

PictureBead bead_of(const IndexedLayer& layer, const Footprint& piece) {
  const auto units = [](float mm) { return picture_units(static_cast<double>(mm)); };
  // 655 mm: wider than any bead.
  constexpr double widest = 65535;
  PictureBead bead;
  bead.from = {units(piece.from_x_mm), units(piece.from_y_mm)};
  bead.to = {units(piece.to_x_mm), units(piece.to_y_mm)};
  bead.width = static_cast<std::uint16_t>(std::clamp(200.0 * piece.half_mm(), 1.0, widest));
  bead.part = part_of(layer.roles[piece.bead]);
  return bead;
}

bool is_near(const Bead& bead, std::span<const PicturePoint> places) {
  if (places.empty()) return true;
  const PicturePoint from{picture_units(bead.from_mm.x), picture_units(bead.from_mm.y)};
  const PicturePoint to{picture_units(bead.to_mm.x), picture_units(bead.to_mm.y)};
  return std::any_of(places.begin(), places.end(), [&](const PicturePoint& place) {
    return std::max(from.x, to.x) >= place.x - window && std::min(from.x, to.x) <= place.x + window &&
           std::max(from.y, to.y) >= place.y - window && std::min(from.y, to.y) <= place.y + window;
  });
}

PictureTravel travel_of(const Travel& travel, double z_mm) {
  PictureTravel drawn;
  drawn.from = {picture_units(travel.from_mm.x), picture_units(travel.from_mm.y)};
  drawn.to = {picture_units(travel.to_mm.x), picture_units(travel.to_mm.y)};
  drawn.lifted = std::min(travel.from_mm.z, travel.to_mm.z) > z_mm + lift_mm;
  drawn.pulled_back = travel.owed_mm > 0 || travel.pulled_by_machine;
  return drawn;
}

}  // namespace

std::uint64_t keep_beads_near(IndexedLayer& layer, std::span<const PicturePoint> places, std::size_t most_beads) {
  std::vector<Bead>& beads = layer.layer.beads;
  const std::size_t before = beads.size();
  if (before <= most_beads) return 0;
  std::size_t kept = 0;
  auto travel = layer.travels.begin();
  for (std::size_t i = 0; i < before; ++i) {
    for (; travel != layer.travels.end() && travel->beads_before <= i; ++travel)
      travel->beads_before = static_cast<std::uint32_t>(kept);
    if (kept < most_beads && is_near(beads[i], places)) beads[kept++] = beads[i];
  }
  for (; travel != layer.travels.end(); ++travel) travel->beads_before = static_cast<std::uint32_t>(kept);
  beads.resize(kept);
  return before - kept;
}

LayerPicture drawn(const IndexedLayer& layer) {
  LayerPicture picture;
  picture.layer = layer.layer.number;
  picture.z_mm = layer.layer.z_mm;
  picture.height_mm = layer.layer.height_mm;
  auto travel = layer.travels.begin();
  const auto take_travels = [&](std::uint32_t beads) {
    for (; travel != layer.travels.end() && travel->beads_before <= beads; ++travel) {
      if (picture.travels.size() >= most_travels) continue;
      picture.travels.push_back(travel_of(*travel, layer.layer.z_mm));
      picture.travels.back().beads_before = static_cast<std::uint32_t>(picture.beads.size());
    }
  };
  picture.beads.reserve(layer.index.footprints().size());
  for (const Footprint& piece : layer.index.footprints()) {
    take_travels(piece.bead);
    picture.beads.push_back(bead_of(layer, piece));
  }
  take_travels(static_cast<std::uint32_t>(layer.layer.beads.size()));
  return picture;
}

}  // namespace beadwise
