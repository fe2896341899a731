#include "model/tracks.hpp"

#include <cmath>

#include "model/bead_path.hpp"

namespace beadwise {

namespace {

constexpr double same_place_mm = 1e-3;
// A loop that comes back this close to its first place is complete, whatever is laid next.
constexpr double loop_end_mm = 0.02;
// A seam leaves at most this many bead widths open: common practice.
constexpr double seam_widths = 1.3;
// Shorter than this many seams, a track only turns back beside itself.
constexpr double shortest_loop_seams = 3;

double plane_distance(const Point& a, const Point& b) { return std::hypot(a.x - b.x, a.y - b.y); }

/// Twice the area between the middle line of a bead and the origin.
double swept(const Bead& bead, const std::vector<Arc>& arcs) {
  constexpr int chords = 16;
  const int steps = bead.arc < 0 ? 1 : chords;
  double sum = 0;
  Point from = bead.from_mm;
  for (int step = 1; step <= steps; ++step) {
    const Point to = step == steps ? bead.to_mm : point_on_bead(bead, arcs, static_cast<double>(step) / steps);
    sum += from.x * to.y - to.x * from.y;
    from = to;
  }
  return sum;
}

void complete(Track& track, const Layer& layer) {
  const Bead& first = layer.beads[track.first];
  const Bead& last = layer.beads[track.first + track.count - 1];
  const double gap_mm = plane_distance(first.from_mm, last.to_mm);
  const double width_mm = std::isfinite(first.width_mm) ? first.width_mm : 0;
  const bool turns = track.count >= 3 || first.arc >= 0;
  const double seam_mm = std::max(seam_widths * width_mm, loop_end_mm);
  track.closed = turns && gap_mm <= seam_mm && track.length_mm > shortest_loop_seams * gap_mm &&
                 track.length_mm > shortest_loop_seams * width_mm;
  if (!track.closed) return;
  double twice_mm2 = last.to_mm.x * first.from_mm.y - first.from_mm.x * last.to_mm.y;
  for (std::uint32_t i = track.first; i < track.first + track.count; ++i)
    twice_mm2 += swept(layer.beads[i], layer.arcs);
  track.area_mm2 = twice_mm2 / 2;
}

}  // namespace

void find_tracks(IndexedLayer& indexed) {
  const Layer& layer = indexed.layer;
  indexed.tracks.clear();
  indexed.track_of.assign(layer.beads.size(), 0);
  bool at_end = true;
  for (std::uint32_t i = 0; i < layer.beads.size(); ++i) {
    const Bead& bead = layer.beads[i];
    const bool goes_on = !at_end && plane_distance(layer.beads[i - 1].to_mm, bead.from_mm) <= same_place_mm &&
                         layer.beads[i - 1].role == bead.role;
    if (!goes_on) {
      if (!indexed.tracks.empty()) complete(indexed.tracks.back(), layer);
      indexed.tracks.push_back({.first = i});
    }
    Track& track = indexed.tracks.back();
    ++track.count;
    track.length_mm += bead.path_mm;
    track.box_mm.add(bead.from_mm);
    track.box_mm.add(bead.to_mm);
    indexed.track_of[i] = static_cast<std::uint32_t>(indexed.tracks.size() - 1);
    const bool turns = track.count >= 3 || bead.arc >= 0;
    at_end = turns && plane_distance(layer.beads[track.first].from_mm, bead.to_mm) <= loop_end_mm;
  }
  if (!indexed.tracks.empty()) complete(indexed.tracks.back(), layer);
}

}  // namespace beadwise
