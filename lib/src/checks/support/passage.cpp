#include "checks/support/passage.hpp"

#include <algorithm>
#include <cmath>

namespace beadwise::checks {

namespace {

// What a travel starts from and lands on, and the bead beside it, are not crossed.
constexpr double reach_widths = 1.5;
// Of beads whose E has no plausible reading: those of the commonest nozzle.
constexpr double usual_width_mm = 0.45;
constexpr double widest_mm = 2;
constexpr double nothing_mm = 1e-9;

double reach_of(const Bead& bead) { return reach_widths * width_mm_of(bead); }

}  // namespace

std::optional<std::uint32_t> bead_under(const IndexedLayer& layer, PlanePoint place) {
  std::optional<std::uint32_t> bead;
  layer.index.near(place, place, 0, [&](const Footprint& footprint) {
    if (bead && *bead <= footprint.bead) return;
    const double half_mm = footprint.half_mm();
    if (squared_distance_mm2(place, footprint.from(), footprint.to()) <= half_mm * half_mm) bead = footprint.bead;
  });
  return bead;
}

Passage passage_at(const IndexedLayer& layer, std::size_t first) {
  const std::vector<Travel>& travels = layer.travels;
  const std::vector<Bead>& beads = layer.layer.beads;
  const auto laid = static_cast<std::uint32_t>(beads.size());
  std::size_t end = first + 1;
  while (end < travels.size() && travels[end].beads_before == travels[first].beads_before) ++end;
  const std::uint32_t beads_before = std::clamp(travels[first].beads_before, 1U, laid);
  Passage passage;
  passage.travels = std::span(travels).subspan(first, end - first);
  passage.last_bead = beads_before - 1;
  passage.start = in_plane(passage.travels.front().from_mm);
  passage.goal = in_plane(passage.travels.back().to_mm);
  passage.start_reach_mm = reach_of(beads[passage.last_bead]);
  passage.start_island = layer.island_of[passage.last_bead];
  const bool ends_layer = beads_before >= laid;
  passage.goal_bead = ends_layer ? bead_under(layer, passage.goal) : beads_before;
  passage.goal_reach_mm = ends_layer ? passage.start_reach_mm : reach_of(beads[beads_before]);
  if (passage.goal_bead) passage.goal_island = layer.island_of[*passage.goal_bead];
  return passage;
}

std::optional<Span> part_between(const Travel& travel, double floor_mm, double ceiling_mm) {
  const double from_mm = travel.from_mm.z;
  const double climb_mm = travel.to_mm.z - from_mm;
  if (std::abs(climb_mm) < nothing_mm) {
    if (from_mm < floor_mm || from_mm >= ceiling_mm) return std::nullopt;
    return Span{0, 1};
  }
  const double at_floor = (floor_mm - from_mm) / climb_mm;
  const double at_ceiling = (ceiling_mm - from_mm) / climb_mm;
  const double from = std::max(0.0, std::min(at_floor, at_ceiling));
  const double to = std::min(1.0, std::max(at_floor, at_ceiling));
  if (!(from < to)) return std::nullopt;
  return Span{from, to};
}

Mark mark_of(const Passage& passage, const Layer& layer, double value) {
  Mark mark{.layer = layer.number, .points_mm = {{passage.start.x, passage.start.y}}, .width_mm = 0, .value = value};
  for (const Travel& travel : passage.travels) mark.points_mm.push_back({travel.to_mm.x, travel.to_mm.y});
  return mark;
}

double width_mm_of(const Bead& bead) {
  const bool known = std::isfinite(bead.width_mm) && bead.width_mm > 0;
  return known ? std::min(bead.width_mm, widest_mm) : usual_width_mm;
}

}  // namespace beadwise::checks
