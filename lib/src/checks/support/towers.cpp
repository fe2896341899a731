#include "checks/support/towers.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "checks/support/passage.hpp"

namespace beadwise::checks {

namespace {

// As many layers as may carry another one.
constexpr std::size_t most_layers = 6;
// Places of an island that are asked for what carries them.
constexpr std::uint32_t most_probes = 4;
// Sections that differ by less are the same one, laid with other roundings.
constexpr double same_modulus = 0.9;
constexpr double nothing = 1e-12;

}  // namespace

Yield Tower::yields(double top_mm, double bond_mpa, double plate_mpa) const {
  Yield yield{.push_n = std::numeric_limits<double>::infinity(), .section = {}};
  const auto bend = [&](const Section& at, double strength_mpa) {
    const double lever_mm = top_mm - at.z_mm;
    if (lever_mm <= nothing) return;
    const double push_n = strength_mpa * at.modulus_mm3 / lever_mm;
    if (push_n < yield.push_n) yield = {push_n, at};
  };
  if (!small) return yield;
  bend(foot, bond_mpa);
  bend(narrowest, bond_mpa);
  if (on_plate) bend(*on_plate, plate_mpa);
  return yield;
}

/// The boxes around the islands with their beads. The boxes of the model know no arcs between the ends of beads.
void Towers::find_boxes(const IndexedLayer& layer) {
  boxes_.assign(layer.islands.size(), Box{});
  const auto add = [&](std::uint32_t island, PlanePoint place, double half_mm) {
    Box& box = boxes_[island];
    box.low.x = std::min(box.low.x, place.x - half_mm);
    box.low.y = std::min(box.low.y, place.y - half_mm);
    box.high.x = std::max(box.high.x, place.x + half_mm);
    box.high.y = std::max(box.high.y, place.y + half_mm);
  };
  if (layer.layer.arcs.empty()) {
    for (std::uint32_t i = 0; i < layer.islands.size(); ++i) {
      const Island& island = layer.islands[i];
      const double half_mm = width_mm_of(layer.layer.beads[island.first]) / 2;
      add(i, in_plane(island.box_mm.low), half_mm);
      add(i, in_plane(island.box_mm.high), half_mm);
    }
    return;
  }
  for (const Footprint& footprint : layer.index.footprints()) {
    add(layer.island_of[footprint.bead], footprint.from(), footprint.half_mm());
    add(layer.island_of[footprint.bead], footprint.to(), footprint.half_mm());
  }
}

/// Whether there are small islands at all.
bool Towers::find_small(const IndexedLayer& layer, std::vector<Tower>& towers) {
  towers.assign(layer.islands.size(), Tower{});
  find_boxes(layer);
  bool any = false;
  for (std::size_t i = 0; i < towers.size(); ++i) {
    const Box& box = boxes_[i];
    towers[i].small = std::max(box.high.x - box.low.x, box.high.y - box.low.y) <= largest_across_mm_;
    any = any || towers[i].small;
  }
  return any;
}

/// The section modulus of a rectangle of the same area and second moment: b/2 = √(3 I/A), so W = I/(b/2) = √(I A/3).
void Towers::find_sections(const IndexedLayer& layer, std::vector<Tower>& towers) {
  sums_.assign(towers.size(), Sums{});
  for (const Footprint& footprint : layer.index.footprints()) {
    const std::uint32_t island = layer.island_of[footprint.bead];
    if (!towers[island].small) continue;
    const PlanePoint middle{(boxes_[island].low.x + boxes_[island].high.x) / 2,
                            (boxes_[island].low.y + boxes_[island].high.y) / 2};
    const double dx = footprint.to().x - footprint.from().x;
    const double dy = footprint.to().y - footprint.from().y;
    const double length2 = dx * dx + dy * dy;
    const double length = std::sqrt(length2);
    const double half = footprint.half_mm();
    const double ux = length > nothing ? dx / length : 1;
    const double uy = length > nothing ? dy / length : 0;
    const double x = (footprint.from().x + footprint.to().x) / 2 - middle.x;
    const double y = (footprint.from().y + footprint.to().y) / 2 - middle.y;
    // A straight piece lies between its neighbours, which share its round ends.
    const double area = length > nothing ? 2 * half * length : std::numbers::pi * half * half;
    const double along = length2 / 12;
    const double across = half * half / 3;
    Sums& sums = sums_[island];
    sums.area += area;
    sums.x += area * x;
    sums.y += area * y;
    sums.xx += area * (x * x + along * ux * ux + across * uy * uy);
    sums.yy += area * (y * y + along * uy * uy + across * ux * ux);
    sums.xy += area * (x * y + (along - across) * ux * uy);
  }
  for (std::size_t i = 0; i < towers.size(); ++i) {
    const Sums& sums = sums_[i];
    if (!towers[i].small || !(sums.area > nothing)) continue;
    const double xx = sums.xx / sums.area - std::pow(sums.x / sums.area, 2);
    const double yy = sums.yy / sums.area - std::pow(sums.y / sums.area, 2);
    const double xy = sums.xy / sums.area - sums.x * sums.y / (sums.area * sums.area);
    const double least = std::max(0.0, (xx + yy) / 2 - std::hypot((xx - yy) / 2, xy));
    towers[i].section = {.z_mm = layer.layer.z_mm - layer.layer.height_mm,
                         .modulus_mm3 = sums.area * std::sqrt(least / 3),
                         .thickness_mm = std::sqrt(12 * least)};
  }
}

const Tower* Towers::below(const LayerStack& stack, const Island& island) const {
  for (const IndexedLayer* under : stack.below) {
    const auto followed = std::find_if(layers_.begin(), layers_.end(),
                                       [&](const Followed& one) { return one.layer == under->layer.number; });
    if (followed == layers_.end()) continue;
    for (std::uint32_t probe = 0; probe < std::min(most_probes, island.beads); ++probe) {
      const std::uint32_t at = island.first + probe;
      if (at >= stack.layer.island_of.size() || stack.layer.island_of[at] != stack.layer.island_of[island.first]) break;
      const PlanePoint start = in_plane(stack.layer.layer.beads[at].from_mm);
      if (const auto found = bead_under(*under, start)) return &followed->towers[under->island_of[*found]];
    }
  }
  return nullptr;
}

void Towers::stand(const LayerStack& stack, const Island& island, Tower& tower) const {
  tower.foot = tower.section;
  tower.narrowest = tower.section;
  if (stack.layer.layer.on_plate) {
    tower.on_plate = tower.section;
    return;
  }
  const Tower* under = below(stack, island);
  if (under == nullptr || !under->small) return;
  Section both = tower.section.modulus_mm3 > under->section.modulus_mm3 ? tower.section : under->section;
  both.z_mm = under->section.z_mm;
  const bool second = under->layers == 1;
  const bool narrower = both.modulus_mm3 < same_modulus * under->narrowest.modulus_mm3;
  tower.foot = second ? both : under->foot;
  tower.narrowest = second || narrower ? both : under->narrowest;
  tower.on_plate = under->on_plate;
  tower.layers = under->layers + 1;
}

void Towers::on_stack(const LayerStack& stack) {
  const IndexedLayer& layer = stack.layer;
  Followed followed;
  if (layers_.size() >= most_layers) {
    followed = std::move(layers_.back());
    layers_.pop_back();
  }
  followed.layer = layer.layer.number;
  if (find_small(layer, followed.towers)) {
    find_sections(layer, followed.towers);
    for (std::size_t i = 0; i < layer.islands.size(); ++i)
      if (followed.towers[i].small) stand(stack, layer.islands[i], followed.towers[i]);
  }
  layers_.push_front(std::move(followed));
}

}  // namespace beadwise::checks
