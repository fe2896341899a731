#include "model/travel_log.hpp"

#include <algorithm>
#include <cmath>

#include "machine/arcs.hpp"
#include "machine/in_order.hpp"

namespace beadwise {

namespace {

constexpr double least_filament_mm = 1e-9;
constexpr double least_motion_mm = 1e-9;
// Chords of a full turn: a travel's exact way matters to a tenth of its radius at most.
constexpr double arc_chords = 24;
// A layer of a hostile file may hold nothing but travels; so many are looked at.
constexpr std::size_t most_waiting = 4'000'000;

}  // namespace

void TravelLog::log(const Travel& travel, std::uint32_t layer) {
  if (std::hypot(travel.to_mm.x - travel.from_mm.x, travel.to_mm.y - travel.from_mm.y) < least_motion_mm) return;
  if (logged_.size() < most_waiting) logged_.push_back({travel, layer});
}

void TravelLog::on_travel(const MoveBatch& batch, const Move& move) {
  if (move.layer == 0) return;
  Travel travel;
  travel.from_mm = move.from_mm;
  travel.to_mm = move.to_mm;
  travel.start_s = move.start_s;
  travel.filament_mm = move.filament_mm;
  travel.owed_mm = std::min(owed_mm_, move.owed_mm);
  travel.duration_s = static_cast<float>(move.duration_s);
  travel.feedrate_mm_per_s = static_cast<float>(move.feedrate_mm_per_s);
  travel.pulled_by_machine = pulled_by_machine_;
  travel.beads_before = beads_;
  travel.retractions_before = retractions_;
  travel.line = move.line;
  if (move.arc < 0) {
    log(travel, move.layer);
    return;
  }
  const Arc& arc = batch.arcs[static_cast<std::size_t>(move.arc)];
  const double chords =
      std::clamp(std::ceil(std::abs(arc.sweep_rad) / (2 * std::acos(-1.0)) * arc_chords), 1.0, arc_chords);
  travel.duration_s /= static_cast<float>(chords);
  travel.filament_mm /= chords;
  for (double chord = 1; chord <= chords; ++chord) {
    travel.to_mm = point_on_arc(arc, move.from_mm, move.to_mm, chord / chords);
    log(travel, move.layer);
    travel.from_mm = travel.to_mm;
    travel.start_s += static_cast<double>(travel.duration_s);
  }
}

void TravelLog::on_moves(const MoveBatch& batch) {
  const auto on_event = [this](const Event& event) {
    if (event.kind == EventKind::firmware_retraction) {
      pulled_by_machine_ = true;
      ++retractions_;
    }
    if (event.kind == EventKind::firmware_prime) pulled_by_machine_ = false;
    if (event.kind == EventKind::tool_change) owes_ = false;
  };
  in_order(batch, on_event, [&](const Move& move) {
    if (move.kind == MoveKind::bead) {
      if (move.layer != layer_) beads_ = 0;
      layer_ = move.layer;
      ++beads_;
    }
    if (move.filament_mm < -least_filament_mm && !owes_) {
      owes_ = true;
      ++retractions_;
    }
    if (move.filament_mm > least_filament_mm) owes_ = false;
    if (move.kind == MoveKind::travel) on_travel(batch, move);
    owed_mm_ = move.owed_mm;
  });
}

std::vector<Travel> TravelLog::take(std::uint32_t layer) {
  std::vector<Travel> travels;
  for (; !logged_.empty() && logged_.front().layer <= layer; logged_.pop_front())
    if (logged_.front().layer == layer) travels.push_back(logged_.front().travel);
  return travels;
}

}  // namespace beadwise
