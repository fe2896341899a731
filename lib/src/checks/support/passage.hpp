#pragma once

#include <cmath>
#include <cstdint>
#include <optional>
#include <span>

#include "beadwise/finding.hpp"
#include "model/indexed_layer.hpp"

namespace beadwise::checks {

/// The way from the end of one bead to the start of the next: every travel in between.
struct Passage {
  std::span<const Travel> travels;  ///< at least one
  std::uint32_t last_bead = 0;      ///< where it starts from; all beads up to it are laid
  PlanePoint start;
  PlanePoint goal;
  double start_reach_mm = 0;  ///< so far around its start it is still over the bead that it leaves, or its neighbour
  double goal_reach_mm = 0;   ///< so far around its goal it lands
  std::uint32_t start_island = 0;
  /// What it leads to: the next bead, or where that is of another layer the bead of this one that it lies over, if any.
  std::optional<std::uint32_t> goal_bead;
  std::optional<std::uint32_t> goal_island;
};

/// The passage that begins with the travel `first`: the span of `layer.travels` up to the next bead.
Passage passage_at(const IndexedLayer& layer, std::size_t first);

/// Calls `visit(const Passage&)` for every passage of a layer, in order.
template <class Visit>
void for_each_passage(const IndexedLayer& layer, Visit&& visit) {
  for (std::size_t first = 0; first < layer.travels.size();) {
    const Passage passage = passage_at(layer, first);
    visit(passage);
    first += passage.travels.size();
  }
}

inline PlanePoint in_plane(const Point& point) { return {point.x, point.y}; }

/// Length of a travel seen from above.
inline double plane_mm(const Travel& travel) {
  const double dx = travel.to_mm.x - travel.from_mm.x;
  const double dy = travel.to_mm.y - travel.from_mm.y;
  return std::sqrt(dx * dx + dy * dy);
}

/// The first bead that covers a place.
std::optional<std::uint32_t> bead_under(const IndexedLayer& layer, PlanePoint place);

/// The share of a travel between two heights; none where it runs lower or higher all along.
std::optional<Span> part_between(const Travel& travel, double floor_mm, double ceiling_mm);

/// The way of a passage as a line on the picture of its layer.
Mark mark_of(const Passage& passage, const Layer& layer, double value);

/// Width of a bead, mm; a usual one where its E has no plausible reading.
double width_mm_of(const Bead& bead);

}  // namespace beadwise::checks
