#include <algorithm>
#include <vector>

#include "model/bead_roles.hpp"
#include "model/track_samples.hpp"

namespace beadwise {

namespace {

constexpr int fill_samples = 6;
constexpr int loop_samples = 6;
// A brim is loops; a base one layer high is filled too. So much of an island's length, as fill that one sees, makes it
// a base.
constexpr double base_ratio = 0.1;
// What leans out by this much more than half a width from what lies on it still carries it; the next loop beside the
// part's outline lies farther out.
constexpr double lean_widths = 0.25;

bool hides(const LayerStack& stack, PlanePoint place, double margin_mm) {
  return std::any_of(stack.above.begin(), stack.above.end(), [&](const IndexedLayer* one) {
    return one->index.covers(place, margin_mm) || inside_outline(*one, place);
  });
}

/// Over nothing: neither a bead nor a hollow of a layer below, nor the plate.
bool hangs(const LayerStack& stack, PlanePoint place) {
  return std::none_of(stack.below.begin(), stack.below.end(),
                      [&](const IndexedLayer* one) { return inside_outline(*one, place); });
}

PlanePoint middle_of(const Bead& bead) {
  return {(bead.from_mm.x + bead.to_mm.x) / 2, (bead.from_mm.y + bead.to_mm.y) / 2};
}

class RoleSettling {
 public:
  RoleSettling(IndexedLayer& layer, const LayerStack& stack) : layer_(layer), stack_(stack) {}

  void settle() {
    for (const Track& track : layer_.tracks)
      if (is_silent(track) && role_of(track) == BeadRole::solid_infill) settle_fill(track);
    if (!layer_.layer.on_plate || stack_.above.empty()) return;
    find_bare_islands();
    for (const Track& track : layer_.tracks)
      if (is_silent(track)) settle_on_plate(track);
    if (!has_brim_) return;
    for (const Track& track : layer_.tracks)
      if (is_silent(track) && track.closed && role_of(track) == BeadRole::perimeter && borders_brim(track))
        set_role(track, BeadRole::outer_perimeter);
  }

 private:
  /// On the plate: whether anything lies on an island, and how much of it is fill that one sees.
  struct Burden {
    bool carries = false;
    bool is_said = false;
    bool has_fill = false;
    bool has_loops = false;
    double seen_fill_mm = 0;
  };

  bool is_silent(const Track& track) const { return layer_.layer.beads[track.first].role == BeadRole::unknown; }
  BeadRole role_of(const Track& track) const { return layer_.roles[track.first]; }
  const Island& island_of(const Track& track) const { return layer_.islands[layer_.island_of[track.first]]; }
  Burden& burden_of(const Track& track) { return burdens_[layer_.island_of[track.first]]; }
  FootprintRun run_of(const Track& track) const { return footprints_of(layer_.index, track.first, track.count); }

  void set_role(const Track& track, BeadRole role) {
    for (std::uint32_t i = track.first; i < track.first + track.count; ++i)
      if (layer_.layer.beads[i].role == BeadRole::unknown) layer_.roles[i] = role;
  }

  BeadRole fill_role_at(PlanePoint place) const {
    if (!stack_.hidden(place)) return BeadRole::top;
    if (layer_.layer.on_plate || hangs(stack_, place)) return BeadRole::bottom;
    return BeadRole::solid_infill;
  }

  void settle_fill(const Track& track) {
    BeadRole role = BeadRole::unknown;
    bool mixed = false;
    each_sample(run_of(track), track.length_mm, fill_samples, [&](const TrackSample& sample) {
      const BeadRole here = fill_role_at(sample.place);
      mixed = role != BeadRole::unknown && role != here;
      role = here;
      return !mixed;
    });
    if (role == BeadRole::unknown) return;
    set_role(track, role);
    if (!mixed) return;
    for (std::uint32_t i = track.first; i < track.first + track.count; ++i)
      layer_.roles[i] = fill_role_at(middle_of(layer_.layer.beads[i]));
  }

  bool carries(const Track& track) const {
    bool found = false;
    each_sample(run_of(track), track.length_mm, loop_samples, [&](const TrackSample& sample) {
      found = hides(stack_, sample.place, lean_widths * sample.width_mm);
      return !found;
    });
    return found;
  }

  void find_bare_islands() {
    burdens_.assign(layer_.islands.size(), {});
    for (const Track& track : layer_.tracks) {
      Burden& burden = burden_of(track);
      if (!is_silent(track)) burden.is_said = true;
      const BeadRole role = role_of(track);
      const bool fill = role == BeadRole::solid_infill || role == BeadRole::top || role == BeadRole::bottom;
      if (fill) burden.has_fill = true;
      if (track.closed) burden.has_loops = true;
      if (role == BeadRole::top) burden.seen_fill_mm += track.length_mm;
      if (!burden.carries && !burden.is_said && role != BeadRole::top) burden.carries = carries(track);
    }
  }

  void settle_on_plate(const Track& track) {
    const Burden& burden = burden_of(track);
    if (burden.is_said) return;
    if (!burden.carries) {
      if (burden.has_fill) return;
      return set_role(track, burden.has_loops ? BeadRole::skirt : BeadRole::prime);
    }
    if (!track.closed || burden.seen_fill_mm > base_ratio * island_of(track).length_mm || carries(track)) return;
    set_role(track, BeadRole::brim);
    has_brim_ = true;
  }

  bool borders_brim(const Track& track) const {
    // One bead to the outside, the nearest bead's middle line.
    const double outwards = track.area_mm2 > 0 ? -1 : 1;
    int beside = 0;
    each_sample(run_of(track), track.length_mm, loop_samples, [&](const TrackSample& sample) {
      const PlanePoint place = sample.aside(outwards * sample.width_mm);
      bool found = false;
      layer_.index.near(place, place, 0, [&](const Footprint& footprint) {
        if (found || layer_.roles[footprint.bead] != BeadRole::brim) return;
        found =
            squared_distance_mm2(place, footprint.from(), footprint.to()) <= footprint.half_mm() * footprint.half_mm();
      });
      if (found) ++beside;
      return true;
    });
    return 2 * beside > loop_samples;
  }

  IndexedLayer& layer_;
  const LayerStack& stack_;
  std::vector<Burden> burdens_;  ///< by island
  bool has_brim_ = false;
};

}  // namespace

void settle_roles(IndexedLayer& layer, const LayerStack& stack) { RoleSettling(layer, stack).settle(); }

}  // namespace beadwise
