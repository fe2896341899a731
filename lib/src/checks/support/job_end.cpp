#include "checks/support/job_end.hpp"

#include <algorithm>

#include "checks/support/complete_command.hpp"
#include "machine/in_order.hpp"

namespace beadwise::checks {

void JobEnd::on_moves(const MoveBatch& batch) {
  in_order(
      batch, [&](const Event& event) { on_event(event); }, [&](const Move& move) { on_move(move); });
}

void JobEnd::on_event(const Event& event) {
  laying_.on_event(event);
  const bool stops = event.kind == EventKind::pause || event.kind == EventKind::filament_change;
  if (event.may_heat && event.kind == EventKind::macro)
    after_.hidden = true;
  else if ((event.may_heat || stops) && after_.hiding_line == 0)
    after_.hiding_line = event.line;
  switch (event.kind) {
    case EventKind::nozzle_set:
    case EventKind::bed_set:
      if (event.value <= 0) after_.end_command = true;
      return;
    case EventKind::motors_off:
    case EventKind::program_end:
    case EventKind::homing:
      after_.end_command = true;
      return;
    default:
      return;
  }
}

void JobEnd::on_move(const Move& move) {
  if (!laying_.lays(move)) {
    if (after_.moved_away_line == 0 && is_away(move.to_mm)) after_.moved_away_line = move.line;
    return;
  }
  has_beads_ = true;
  last_bead_line_ = move.line;
  last_bead_layer_ = move.layer;
  last_bead_end_mm_ = move.to_mm;
  for (const Point& end : {move.from_mm, move.to_mm}) {
    low_.x = std::min(low_.x, end.x);
    low_.y = std::min(low_.y, end.y);
    high_.x = std::max(high_.x, end.x);
    high_.y = std::max(high_.y, end.y);
  }
  after_ = {};
}

bool JobEnd::is_away(const Point& point) const {
  if (point.z > last_bead_end_mm_.z + largest_lift_mm_) return true;
  return point.x < low_.x || point.x > high_.x || point.y < low_.y || point.y > high_.y;
}

bool JobEnd::is_hidden(const JobSummary& job) const {
  if (after_.hidden || after_.hiding_line == 0) return after_.hidden;
  // `M14` may be what is left of `M140 S0`.
  const bool in_last_line = job.ends_inside_line && after_.hiding_line == job.figures.lines;
  return !(in_last_line && may_be_half_a_command(job.last_text));
}

bool JobEnd::stops_at_part(const JobSummary& job) const {
  if (!has_beads_ || is_hidden(job) || after_.end_command || !any_heater_on(job.settings)) return false;
  // `X1` may be what is left of `X113.4`: where a line was cut short nobody knows where it meant to go.
  const bool may_be_half = job.ends_inside_line && after_.moved_away_line == job.figures.lines;
  return after_.moved_away_line == 0 || may_be_half;
}

bool any_heater_on(const Settings& settings) {
  const auto& nozzles = settings.nozzle_c;
  return settings.bed_c > 0 || std::any_of(nozzles.begin(), nozzles.end(), [](double set_c) { return set_c > 0; });
}

}  // namespace beadwise::checks
