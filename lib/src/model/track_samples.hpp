#pragma once

#include <cmath>
#include <cstdint>

#include "model/indexed_layer.hpp"

namespace beadwise {

/// A place on the middle line of a bead.
struct TrackSample {
  PlanePoint place;
  PlanePoint left;  ///< of length 1, to the left of the way the nozzle goes
  double width_mm = 0;
  std::uint32_t bead = 0;

  /// So far to the left of the middle line; to the right for less than 0.
  PlanePoint aside(double left_mm) const { return {place.x + left_mm * left.x, place.y + left_mm * left.y}; }
};

/// The straight pieces of a run of beads.
struct FootprintRun {
  const Footprint* first = nullptr;
  const Footprint* last = nullptr;  ///< behind the last

  const Footprint* begin() const { return first; }
  const Footprint* end() const { return last; }
};

FootprintRun footprints_of(const BeadIndex& index, std::uint32_t first_bead, std::uint32_t count);

/// Calls `visit(const TrackSample&)` at places along a run of beads, the first after `begin_mm`, one every `step_mm`,
/// until it returns false.
template <class Visit>
void each_place(const FootprintRun& run, double begin_mm, double step_mm, Visit&& visit) {
  double next_mm = begin_mm;
  double passed_mm = 0;
  for (const Footprint& piece : run) {
    const PlanePoint a = piece.from();
    const double dx = piece.to().x - a.x;
    const double dy = piece.to().y - a.y;
    const double piece_mm = std::hypot(dx, dy);
    for (; next_mm < passed_mm + piece_mm; next_mm += step_mm) {
      const double share = (next_mm - passed_mm) / piece_mm;
      const TrackSample sample{.place = {a.x + share * dx, a.y + share * dy},
                               .left = {-dy / piece_mm, dx / piece_mm},
                               .width_mm = 2 * piece.half_mm(),
                               .bead = piece.bead};
      if (!visit(sample)) return;
    }
    passed_mm += piece_mm;
  }
}

/// The same at up to `count` places, spread evenly along a run `length_mm` long.
template <class Visit>
void each_sample(const FootprintRun& run, double length_mm, int count, Visit&& visit) {
  const double step_mm = length_mm / count;
  each_place(run, step_mm / 2, step_mm, visit);
}

}  // namespace beadwise
