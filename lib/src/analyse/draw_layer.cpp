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

bool is_near(const PictureBead& bead, std::span<const PicturePoint> places) {
  const auto [left, right] = std::minmax(bead.from.x, bead.to.x);
  const auto [front, back] = std::minmax(bead.from.y, bead.to.y);
  return std::any_of(places.begin(), places.end(),
                     [&, left = left, right = right, front = front, back = back](const PicturePoint& place) {
                       return right >= place.x - window && left <= place.x + window && back >= place.y - window &&
                              front <= place.y + window;
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

LayerPicture drawn(const IndexedLayer& layer, std::span<const PicturePoint> places, std::size_t most_beads) {
  LayerPicture picture;
  picture.layer = layer.layer.number;
  picture.z_mm = layer.layer.z_mm;
  picture.height_mm = layer.layer.height_mm;
  const std::vector<Footprint>& pieces = layer.index.footprints();
  const bool whole = pieces.size() <= most_beads;
  picture.beads.reserve(std::min(pieces.size(), most_beads));
  auto travel = layer.travels.begin();
  const auto take_travels = [&](std::uint32_t beads) {
    for (; travel != layer.travels.end() && travel->beads_before <= beads; ++travel) {
      if (picture.travels.size() >= most_travels) continue;
      picture.travels.push_back(travel_of(*travel, layer.layer.z_mm));
      picture.travels.back().beads_before = static_cast<std::uint32_t>(picture.beads.size());
    }
  };
  for (const Footprint& piece : pieces) {
    take_travels(piece.bead);
    const PictureBead bead = bead_of(layer, piece);
    if (picture.beads.size() < most_beads && (whole || is_near(bead, places))) {
      picture.beads.push_back(bead);
    } else {
      ++picture.beads_left_out;
    }
  }
  take_travels(static_cast<std::uint32_t>(layer.layer.beads.size()));
  return picture;
}

}  // namespace beadwise
