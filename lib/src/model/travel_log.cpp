#include "model/travel_log.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "machine/arcs.hpp"
#include "machine/in_order.hpp"

namespace beadwise {

namespace {

constexpr double nothing_mm = 1e-9;
// Chords of a full turn: they leave the arc by less than a hundredth of its radius.
constexpr double arc_chords = 24;
// A layer of a hostile file may hold nothing but travels; so many are looked at.
constexpr std::size_t most_waiting = 1'000'000;

/// The less of what was pulled back before and after a move, of the tool in use.
double owed_during(const Move& move) {
  const double before_mm = move.owed_mm + move.filament_mm - move.fresh_mm;
  // The difference of two sums: what a long job rounds off is not owed.
  constexpr double rounded_off_mm = 1e-6;
  const double owed_mm = std::min(before_mm, move.owed_mm);
  return owed_mm > rounded_off_mm ? owed_mm : 0;
}

}  // namespace

void TravelLog::log(const Travel& travel, std::uint32_t layer) {
  if (std::hypot(travel.to_mm.x - travel.from_mm.x, travel.to_mm.y - travel.from_mm.y) < nothing_mm) return;
  if (logged_.size() < most_waiting) logged_.push_back({travel, layer});
}

void TravelLog::on_travel(const MoveBatch& batch, const Move& move, bool pulled_by_machine) {
  if (move.layer == 0) return;
  Travel travel;
  travel.from_mm = move.from_mm;
  travel.to_mm = move.to_mm;
  travel.start_s = move.start_s;
  travel.filament_mm = move.filament_mm;
  travel.owed_mm = owed_during(move);
  travel.duration_s = static_cast<float>(move.duration_s);
  travel.pulled_by_machine = pulled_by_machine;
  travel.beads_before = beads_;
  travel.retractions_before = retractions_;
  travel.line = move.line;
  if (move.arc < 0) {
    log(travel, move.layer);
    return;
  }
  const Arc& arc = batch.arcs[static_cast<std::size_t>(move.arc)];
  const double turns = std::abs(arc.sweep_rad) / (2 * std::numbers::pi);
  // A quarter of a turn comes out of the arithmetic as a hair more.
  constexpr double hair = 1e-6;
  const double chords = std::clamp(std::ceil(turns * arc_chords - hair), 1.0, arc_chords);
  travel.duration_s /= static_cast<float>(chords);
  travel.filament_mm /= chords;
  for (double chord = 1; chord <= chords; ++chord) {
    travel.to_mm = point_on_arc(arc, move.from_mm, move.to_mm, chord / chords);
    log(travel, move.layer);
    travel.from_mm = travel.to_mm;
    travel.start_s += static_cast<double>(travel.duration_s);
  }
}

void TravelLog::on_event(const Event& event) {
  Pulled& pulled = pulled_[event.tool];
  if (event.kind == EventKind::firmware_retraction) {
    pulled.by_machine = true;
    if (!pulled.back) ++retractions_;
    pulled.back = true;
  }
  if (event.kind == EventKind::firmware_prime) pulled = {};
}

void TravelLog::on_move(const MoveBatch& batch, const Move& move) {
  if (move.kind == MoveKind::bead) {
    if (move.layer != layer_) beads_ = 0;
    layer_ = move.layer;
    ++beads_;
  }
  Pulled& pulled = pulled_[batch.settings_of(move).tool];
  if (move.filament_mm < -nothing_mm && !pulled.back) {
    pulled.back = true;
    ++retractions_;
  }
  if (move.filament_mm > nothing_mm) pulled.back = false;
  if (move.kind == MoveKind::travel) on_travel(batch, move, pulled.by_machine);
}

void TravelLog::on_moves(const MoveBatch& batch) {
  in_order(
      batch, [this](const Event& event) { on_event(event); }, [&](const Move& move) { on_move(batch, move); });
}

std::vector<Travel> TravelLog::take(std::uint32_t layer) {
  std::vector<Travel> travels;
  for (; !logged_.empty() && logged_.front().layer <= layer; logged_.pop_front())
    if (logged_.front().layer == layer) travels.push_back(logged_.front().travel);
  return travels;
}

}  // namespace beadwise
