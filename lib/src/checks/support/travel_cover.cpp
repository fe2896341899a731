#include "checks/support/travel_cover.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "model/bead_roles.hpp"

namespace beadwise::checks {

namespace {

bool within(PlanePoint place, PlanePoint middle, double reach_mm) {
  const double dx = place.x - middle.x;
  const double dy = place.y - middle.y;
  return dx * dx + dy * dy <= reach_mm * reach_mm;
}

PlanePoint at_share(PlanePoint a, PlanePoint b, double share) {
  return {a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)};
}

/// What a disc leaves of a part: the longer piece. (A disc lies at an end of a travel, so there is mostly one.)
Span without(Span part, const std::optional<Span>& disc) {
  if (!disc || disc->to <= part.from || disc->from >= part.to) return part;
  const Span before{part.from, disc->from};
  const Span after{disc->to, part.to};
  return before.to - before.from > after.to - after.from ? before : after;
}

}  // namespace

bool stays_near_ends(const Passage& passage, const Travel& travel) {
  const PlanePoint from = in_plane(travel.from_mm);
  const PlanePoint to = in_plane(travel.to_mm);
  return (within(from, passage.start, passage.start_reach_mm) && within(to, passage.start, passage.start_reach_mm)) ||
         (within(from, passage.goal, passage.goal_reach_mm) && within(to, passage.goal, passage.goal_reach_mm));
}

const std::vector<Covered>& TravelCover::laid(const IndexedLayer& layer, const Passage& passage, const Travel& travel,
                                              Span part) {
  covered_.clear();
  const PlanePoint from = in_plane(travel.from_mm);
  const PlanePoint to = in_plane(travel.to_mm);
  part = without(part, part_within(from, to, passage.start, passage.start, passage.start_reach_mm));
  part = without(part, part_within(from, to, passage.goal, passage.goal, passage.goal_reach_mm));
  if (!(part.to > part.from)) return covered_;
  layer.index.cover(at_share(from, to, part.from), at_share(from, to, part.to), 0, covered_, passage.last_bead);
  // What only gave back a retraction on its way laid nothing.
  const std::vector<Bead>& beads = layer.layer.beads;
  std::erase_if(covered_, [&](const Covered& covered) { return !(beads[covered.bead].area_mm2 > 0); });
  const double share = part.to - part.from;
  for (Covered& covered : covered_)
    covered.span = {part.from + covered.span.from * share, part.from + covered.span.to * share};
  return covered_;
}

const std::vector<OpenPart>& TravelCover::open(const IndexedLayer& layer, const Travel& travel, double least_mm) {
  open_.clear();
  const double length_mm = plane_mm(travel);
  if (length_mm < least_mm) return open_;
  const PlanePoint from = in_plane(travel.from_mm);
  const PlanePoint to = in_plane(travel.to_mm);
  layer.index.cover(from, to, 0, covered_);
  OpenPart part;
  const auto close = [&](double end, std::optional<std::uint32_t> bead) {
    part.span.to = end;
    part.bead_after = bead;
    if ((end - part.span.from) * length_mm < least_mm) return;
    // Between two beads a way does not cross an outline, which is made of beads: its middle tells for all of it.
    if (!inside_outline(layer, at_share(from, to, (part.span.from + end) / 2))) open_.push_back(part);
  };
  for (const Covered& covered : covered_) {
    if (covered.span.from > part.span.from) close(covered.span.from, covered.bead);
    if (covered.span.to <= part.span.from) continue;
    part.span.from = covered.span.to;
    part.bead_before = covered.bead;
  }
  if (part.span.from < 1) close(1, std::nullopt);
  return open_;
}

}  // namespace beadwise::checks
