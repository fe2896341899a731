#include "model/coasted_loops.hpp"

#include <cmath>

#include "model/track_samples.hpp"

namespace beadwise {

namespace {

// Up to a few millimetres at the end of a loop are left to what oozes: common practice.
constexpr double longest_coast_mm = 4;
constexpr double shortest_loop_coasts = 3;
constexpr double same_place_mm = 0.02;
constexpr std::uint32_t fewest_beads = 3;

double plane_distance(const Point& a, const Point& b) { return std::hypot(a.x - b.x, a.y - b.y); }

double enclosed_mm2(const FootprintRun& run) {
  double twice_mm2 = 0;
  PlanePoint from = run.begin()->from();
  const PlanePoint first = from;
  for (const Footprint& piece : run) {
    const PlanePoint to = piece.to();
    twice_mm2 += (from.x - first.x) * (to.y - first.y) - (to.x - first.x) * (from.y - first.y);
    from = to;
  }
  return twice_mm2 / 2;
}

}  // namespace

void close_coasted_loops(IndexedLayer& indexed) {
  const std::vector<Bead>& beads = indexed.layer.beads;
  auto travel = indexed.travels.begin();
  for (Track& track : indexed.tracks) {
    const std::uint32_t end = track.first + track.count;
    while (travel != indexed.travels.end() && travel->beads_before < end) ++travel;
    if (track.closed || track.count < fewest_beads) continue;
    const Point& start = beads[track.first].from_mm;
    const double gap_mm = plane_distance(beads[end - 1].to_mm, start);
    if (gap_mm > longest_coast_mm || track.length_mm < shortest_loop_coasts * gap_mm) continue;
    // Around a corner it is more than one travel.
    auto last = travel;
    double gone_mm = 0;
    bool back = false;
    for (; !back && last != indexed.travels.end() && last->beads_before == end && gone_mm <= longest_coast_mm; ++last) {
      gone_mm += plane_distance(last->from_mm, last->to_mm);
      back = plane_distance(last->to_mm, start) <= same_place_mm;
    }
    if (!back) continue;
    track.closed = true;
    track.area_mm2 = enclosed_mm2(footprints_of(indexed.index, track.first, track.count));
  }
}

}  // namespace beadwise
