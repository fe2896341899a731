#include "model/bead_roles.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "model/coasted_loops.hpp"
#include "model/loop_sides.hpp"
#include "model/loops.hpp"
#include "model/role_kinds.hpp"
#include "model/track_samples.hpp"

namespace beadwise {

namespace {

// Strokes lie at most this many widths apart where they are meant to make a closed surface: the next one still reaches
// under a place 1.25 widths away when a gap of three quarters of a width lies between.
constexpr double next_stroke_widths = 1.25;
constexpr int stroke_samples = 5;
constexpr int outline_samples = 3;
// A letter drawn in single strokes is no more than this many times as long as its box; supports are filled with
// strokes.
constexpr double longest_figure_diagonals = 4;

/// What an island is made of.
struct Makeup {
  std::uint32_t loops = 0;
  std::uint32_t strokes = 0;
  bool says_outer = false;
  bool says_fill = false;
  std::uint32_t boundaries = 0;
  double outside_mm = 0;  ///< length of the strokes that lie in no outline
  Box outside_box_mm{};

  bool has_fill() const { return strokes > 0 || says_fill; }
};

double diagonal_mm(const Box& box) { return std::hypot(box.high.x - box.low.x, box.high.y - box.low.y); }

/// Tells roles from the geometry of one layer.
class RoleFinder {
 public:
  explicit RoleFinder(IndexedLayer& layer) : layer_(layer), loops_(find_loops(layer)), makeups_(layer.islands.size()) {
    in_loop_.assign(layer.tracks.size(), false);
  }

  void find() {
    take_stock();
    layer_.outline.clear();
    for (const Loop& loop : loops_) judge(loop);
    layer_.outline.lay_rows();
    for (std::uint32_t i = 0; i < layer_.tracks.size(); ++i)
      if (!in_loop_[i] && role_of(layer_.tracks[i]) == BeadRole::unknown) judge(layer_.tracks[i]);
    for (const Track* track : outside_) set_role(track->first, track->count, role_outside(*track));
  }

 private:
  BeadRole role_of(const Track& track) const { return layer_.layer.beads[track.first].role; }
  Makeup& makeup_of(std::uint32_t bead) { return makeups_[layer_.island_of[bead]]; }

  void take_stock() {
    for (const Loop& loop : loops_) {
      ++makeup_of(loop.first).loops;
      for (std::uint32_t i = 0; i < loop.tracks; ++i) in_loop_[loop.first_track + i] = true;
    }
    for (std::uint32_t i = 0; i < layer_.tracks.size(); ++i) {
      const Track& track = layer_.tracks[i];
      const BeadRole role = role_of(track);
      Makeup& makeup = makeup_of(track.first);
      if (role == BeadRole::outer_perimeter) makeup.says_outer = true;
      if (is_fill(role) || role == BeadRole::bridge || role == BeadRole::support) makeup.says_fill = true;
      if (role == BeadRole::unknown && !in_loop_[i]) ++makeup.strokes;
    }
  }

  void judge(const Loop& loop) {
    BeadRole role = said_of(loop);
    if (role != BeadRole::unknown && role != BeadRole::outer_perimeter && role != BeadRole::perimeter) return;
    const Makeup& makeup = makeup_of(loop.first);
    // Said to be the outline, with something inside: nothing to look for.
    const bool plain = makeup.has_fill() && makeup.says_outer;
    if (role == BeadRole::perimeter && plain) return;
    if (role == BeadRole::outer_perimeter && plain) return bound(loop, false);
    const LoopSides sides = sides_of_loop(layer_, loop, makeup.has_fill());
    if (role == BeadRole::unknown) {
      role = sides.left_free || sides.right_free ? BeadRole::outer_perimeter : BeadRole::perimeter;
      set_role(loop.first, loop.beads, role);
    }
    if (role == BeadRole::outer_perimeter || sides.left_free || sides.right_free)
      bound(loop, sides.left_free && sides.right_free);
  }

  /// Outer where any of it is said to be: parts of an outline that overhang are named apart.
  BeadRole said_of(const Loop& loop) const {
    BeadRole role = role_of(layer_.tracks[loop.first_track]);
    for (std::uint32_t i = 0; i < loop.tracks; ++i)
      if (role_of(layer_.tracks[loop.first_track + i]) == BeadRole::outer_perimeter) role = BeadRole::outer_perimeter;
    return role;
  }

  /// A wall of one bead around nothing bounds its region on both sides: nothing lies inside it.
  void bound(const Loop& loop, bool both_sides) {
    for (std::uint32_t i = 0; i < loop.tracks; ++i) layer_.tracks[loop.first_track + i].boundary = true;
    if (both_sides) return;
    ++makeup_of(loop.first).boundaries;
    const FootprintRun run = footprints_of(layer_.index, loop.first, loop.beads);
    PlanePoint from = run.first->from();
    for (const Footprint& piece : run) {
      layer_.outline.add(from, piece.to());
      from = piece.to();
    }
    layer_.outline.add(from, run.first->from());
  }

  void set_role(std::uint32_t first, std::uint32_t count, BeadRole role) {
    for (std::uint32_t i = first; i < first + count; ++i)
      if (layer_.layer.beads[i].role == BeadRole::unknown) layer_.roles[i] = role;
  }

  void judge(const Track& track) {
    Makeup& makeup = makeup_of(track.first);
    const bool strokes_alone = makeup.loops == 0 && !makeup.says_fill && !makeup.says_outer;
    // Fill that does not touch its walls is inside an outline; supports and thin parts never are.
    const bool inside = strokes_alone && lies_inside(track);
    if ((!strokes_alone || inside) && has_neighbours(track))
      return set_role(track.first, track.count, BeadRole::solid_infill);
    if (inside || (!strokes_alone && (makeup.boundaries == 0 || lies_inside(track))))
      return set_role(track.first, track.count, BeadRole::infill);
    makeup.outside_mm += track.length_mm;
    makeup.outside_box_mm.add(track.box_mm);
    outside_.push_back(&track);
  }

  /// Strokes in no outline: a thin part of the print, or what supports it.
  BeadRole role_outside(const Track& track) {
    const Makeup& makeup = makeup_of(track.first);
    const bool filled = makeup.outside_mm > longest_figure_diagonals * diagonal_mm(makeup.outside_box_mm);
    return filled ? BeadRole::support : BeadRole::outer_perimeter;
  }

  bool lies_inside(const Track& track) const {
    int inside = 0;
    each_sample(footprints_of(layer_.index, track.first, track.count), track.length_mm, outline_samples,
                [&](const TrackSample& sample) {
                  if (layer_.outline.encloses(sample.place)) ++inside;
                  return 2 * inside <= outline_samples;
                });
    return 2 * inside > outline_samples;
  }

  bool has_neighbours(const Track& track) const {
    int between = 0;
    int seen = 0;
    each_sample(footprints_of(layer_.index, track.first, track.count), track.length_mm, stroke_samples,
                [&](const TrackSample& sample) {
                  const double aside_mm = next_stroke_widths * sample.width_mm;
                  ++seen;
                  if (layer_.index.covers(sample.aside(aside_mm)) && layer_.index.covers(sample.aside(-aside_mm)))
                    ++between;
                  return 2 * between <= stroke_samples && 2 * (seen - between) <= stroke_samples;
                });
    return 2 * between > seen;
  }

  IndexedLayer& layer_;
  std::vector<Loop> loops_;
  std::vector<Makeup> makeups_;  ///< by island
  std::vector<bool> in_loop_;    ///< by track
  std::vector<const Track*> outside_;
};

}  // namespace

void infer_roles(IndexedLayer& layer) {
  layer.roles.clear();
  layer.roles.reserve(layer.layer.beads.size());
  for (const Bead& bead : layer.layer.beads) layer.roles.push_back(bead.role);
  close_coasted_loops(layer);
  RoleFinder(layer).find();
}

bool inside_outline(const IndexedLayer& layer, PlanePoint place) {
  return layer.outline.encloses(place) || layer.index.covers(place);
}

}  // namespace beadwise
