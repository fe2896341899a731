#include "model/loops.hpp"

#include <cmath>

namespace beadwise {

namespace {

constexpr double same_place_mm = 1e-3;
// A seam leaves at most this many bead widths open: common practice.
constexpr double seam_widths = 1.3;

double plane_distance(const Point& a, const Point& b) { return std::hypot(a.x - b.x, a.y - b.y); }

bool goes_on(const Layer& layer, const Track& before, const Track& after) {
  return !before.closed && !after.closed &&
         plane_distance(layer.beads[before.first + before.count - 1].to_mm, layer.beads[after.first].from_mm) <=
             same_place_mm;
}

bool closes(const Layer& layer, const Loop& loop) {
  const Bead& first = layer.beads[loop.first];
  const Bead& last = layer.beads[loop.first + loop.beads - 1];
  const double width_mm = std::isfinite(first.width_mm) ? first.width_mm : 0;
  return plane_distance(first.from_mm, last.to_mm) <= seam_widths * width_mm && loop.length_mm > 3 * width_mm;
}

}  // namespace

std::vector<Loop> find_loops(const IndexedLayer& indexed) {
  std::vector<Loop> loops;
  const std::vector<Track>& tracks = indexed.tracks;
  for (std::uint32_t i = 0; i < tracks.size();) {
    Loop loop{.first = tracks[i].first, .first_track = i};
    bool more = true;
    while (more) {
      const Track& track = tracks[i];
      loop.beads += track.count;
      loop.length_mm += track.length_mm;
      ++loop.tracks;
      ++i;
      more = i < tracks.size() && goes_on(indexed.layer, track, tracks[i]);
    }
    if (loop.tracks == 1 ? tracks[loop.first_track].closed : closes(indexed.layer, loop)) loops.push_back(loop);
  }
  return loops;
}

}  // namespace beadwise
