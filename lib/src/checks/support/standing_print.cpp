#include "checks/support/standing_print.hpp"

#include <algorithm>
#include <cmath>

#include "machine/in_order.hpp"

namespace beadwise::checks {

namespace {

// A first layer lies at the height of the lowest bead up to this: less than the thinnest layers in use, common
// practice.
constexpr double same_height_mm = 0.04;
constexpr double same_place_mm = 1e-6;
// So many stretches may wait to be asked about; only a file made to exhaust memory has more within a few layers.
constexpr std::size_t most_in_doubt = 100'000;

}  // namespace

void StandingPrint::give_up(std::uint64_t line) { known_until_ = std::min(known_until_, line); }

void StandingPrint::doubt(const Event& event, bool may_be_cleared) {
  if (!printed_) return;
  if (doubted_from_ == 0) doubted_from_ = event.line;
  may_be_cleared_ = may_be_cleared_ || may_be_cleared;
}

void StandingPrint::on_event(const Event& event) {
  switch (event.kind) {
    case EventKind::pause:
    case EventKind::filament_change:
    case EventKind::homing:
    case EventKind::program_end:
      doubt(event, true);
      return;
    case EventKind::bed_set:
      // Waiting for a cooler bed is how a part is let off the plate.
      if (event.waits && event.value < bed_c_) doubt(event, true);
      bed_c_ = event.value;
      return;
    case EventKind::probing:
    case EventKind::tool_change:
    case EventKind::motors_off:
      doubt(event, false);
      return;
    case EventKind::macro:
    case EventKind::unknown_command:
      if (event.may_heat) doubt(event, false);
      return;
    case EventKind::origin_set:
      if (printed_ && !origin_) origin_ = event;
      return;
    default:
      return;
  }
}

void StandingPrint::on_move(const Move& move) {
  if (origin_) {
    const Point& before = origin_->at_mm;
    const Point& after = move.from_mm;
    const double shift_mm =
        std::max({std::abs(after.x - before.x), std::abs(after.y - before.y), std::abs(after.z - before.z)});
    // What was printed lies elsewhere in the new coordinates.
    if (shift_mm > same_place_mm) give_up(origin_->line);
    origin_.reset();
  }
  if (move.kind != MoveKind::bead) return;
  if (doubted_from_ > 0) {
    const bool new_print = may_be_cleared_ && move.to_mm.z <= lowest_mm_ + same_height_mm;
    if (new_print || in_doubt_.size() >= most_in_doubt)
      give_up(doubted_from_);
    else
      in_doubt_.push_back({doubted_from_, move.line - 1});
    doubted_from_ = 0;
    may_be_cleared_ = false;
  }
  lowest_mm_ = printed_ ? std::min(lowest_mm_, move.to_mm.z) : move.to_mm.z;
  printed_ = true;
}

void StandingPrint::on_moves(const MoveBatch& batch) {
  in_order(
      batch, [this](const Event& event) { on_event(event); }, [this](const Move& move) { on_move(move); });
}

bool StandingPrint::known_on(std::uint64_t line) const {
  if (line >= known_until_ || (doubted_from_ > 0 && line >= doubted_from_)) return false;
  const auto span = std::lower_bound(in_doubt_.begin(), in_doubt_.end(), line,
                                     [](const Lines& lines, std::uint64_t asked) { return lines.last < asked; });
  return span == in_doubt_.end() || line < span->first;
}

void StandingPrint::forget_before(std::uint64_t line) {
  while (!in_doubt_.empty() && in_doubt_.front().last < line) in_doubt_.pop_front();
}

}  // namespace beadwise::checks
