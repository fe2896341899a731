#include "checks/support/melt_runs.hpp"

#include <algorithm>
#include <cmath>

namespace beadwise::checks {

namespace {

// A finding shows the worst twenty of all; one run need not hold more than a few times that.
constexpr std::size_t most_waiting = 64;

}  // namespace

void MeltRuns::add(const MeltPiece& piece, double limit_s, const Move& move, const MeltWorst& at, const Place& place) {
  const bool first_below = piece.first_residence_s < limit_s;
  const bool last_below = piece.last_residence_s < limit_s;
  if (!first_below) end();
  if (!first_below && !last_below) return;
  double part = 1;
  if (first_below != last_below)
    part = (limit_s - std::min(piece.first_residence_s, piece.last_residence_s)) /
           std::abs(piece.first_residence_s - piece.last_residence_s);
  if (run_.filament_mm <= 0) run_.begin_s = std::max(move.start_s, piece.leave_s - move.duration_s * part);
  run_.filament_mm += piece.filament_mm * part;
  run_.end_s = piece.leave_s;
  if (at.share > run_.worst.share) run_.worst = at;
  remember(place);
  if (!last_below) end();
}

void MeltRuns::close() {
  if (run_.filament_mm >= least_mm_) {
    ++found_.runs;
    found_.longest_mm = std::max(found_.longest_mm, run_.filament_mm);
    found_.filament_mm += run_.filament_mm;
    found_.time_s += run_.end_s - run_.begin_s;
    if (run_.worst.share > found_.worst.share) found_.worst = run_.worst;
    for (const Place& place : run_.waiting) found_.places.add(place);
  }
  run_ = {};
}

void MeltRuns::remember(const Place& place) {
  std::vector<Place>& waiting = run_.waiting;
  const bool same_layer = waiting.size() > 1 && waiting[waiting.size() - 2].layer == place.layer;
  if (!same_layer && waiting.size() < most_waiting) {
    waiting.push_back(place);
    return;
  }
  const double worst = std::max(waiting.back().value, place.value);
  waiting.back() = place;
  waiting.back().value = worst;
}

}  // namespace beadwise::checks
