#pragma once

#include <cmath>

#include "model/track_samples.hpp"

namespace beadwise {

/// Pieces that turn by less than 30 degrees from one to the next go on as one line, straight or bent.
inline constexpr double smooth_turn_cosine = 0.866;

/// Calls `visit(const FootprintRun&, double length_mm)` for every part of a run of beads without a corner.
template <class Visit>
void each_stretch(const FootprintRun& run, Visit&& visit) {
  const Footprint* first = run.begin();
  double length_mm = 0;
  PlanePoint way;
  for (const Footprint* piece = run.begin(); piece != run.end(); ++piece) {
    const double dx = piece->to().x - piece->from().x;
    const double dy = piece->to().y - piece->from().y;
    const double piece_mm = std::hypot(dx, dy);
    if (!(piece_mm > 0)) continue;
    const PlanePoint here{dx / piece_mm, dy / piece_mm};
    if (length_mm > 0 && here.x * way.x + here.y * way.y < smooth_turn_cosine) {
      visit(FootprintRun{first, piece}, length_mm);
      first = piece;
      length_mm = 0;
    }
    length_mm += piece_mm;
    way = here;
  }
  if (length_mm > 0) visit(FootprintRun{first, run.end()}, length_mm);
}

}  // namespace beadwise
