#include "model/extruder_mode.hpp"

#include <cmath>

#include "machine/in_order.hpp"

namespace beadwise {
namespace {

// Fewer moves than this show no habit.
constexpr std::uint64_t fewest_moves = 8;
// Within this factor two moves lay alike: widths change, but not that much from line to line.
constexpr double alike = 1.5;
constexpr double most_of_them = 0.6;
// From a hair of 0.01 mm² to a rope of 2 mm², of filament of 1.75 mm (2.4 mm²): no nozzle lays less or more.
constexpr double least_per_mm = 0.004;
constexpr double most_per_mm = 0.8;
// A running total soon is many times each step; steps read as a total go backward every other time.
constexpr double many_times = 3;
constexpr double often_backward = 0.25;
// Shorter moves say little: their E has few digits.
constexpr double least_path_mm = 0.05;

}  // namespace

void ExtruderMode::Reading::add(double filament_mm, double path_mm) {
  ++moves;
  const double now = filament_mm / path_mm;
  if (now > 0 && last_per_mm > 0 && now < last_per_mm * alike && last_per_mm < now * alike) ++steady;
  last_per_mm = now;
  per_mm.add(now, 1);
}

bool ExtruderMode::Reading::is_steady() const {
  return moves >= fewest_moves && static_cast<double>(steady) >= most_of_them * static_cast<double>(moves);
}

bool ExtruderMode::Reading::is_plausible() const {
  return !per_mm.empty() && per_mm.median() >= least_per_mm && per_mm.median() <= most_per_mm;
}

void ExtruderMode::on_moves(const MoveBatch& batch) {
  const auto on_event = [this](const Event& event) {
    if (event.kind != EventKind::origin_set || event.text.find('E') == std::string::npos) return;
    // The value is nearly always 0; another one is forgotten at the next.
    total_mm_ = 0;
    last_step_mm_ = 0;
  };
  in_order(batch, on_event, [this](const Move& move) { on_move(move); });
}

void ExtruderMode::on_move(const Move& move) {
  if (move.filament_mm == 0) return;
  const bool drawn = (move.kind == MoveKind::bead || move.kind == MoveKind::travel) && move.path_mm >= least_path_mm;
  if (move.relative_e) {
    if (drawn && move.filament_mm > 0) {
      differences_.add(move.filament_mm - last_step_mm_, move.path_mm);
      steps_per_mm_.add(move.filament_mm / move.path_mm, 1);
    }
    last_step_mm_ = move.filament_mm;
  } else {
    total_mm_ += move.filament_mm;
    if (drawn && total_mm_ > 0) written_.add(total_mm_, move.path_mm);
    if (drawn && move.filament_mm < 0) ++backward_;
  }
  if (drawn && !first_) first_ = move;
}

EMisread ExtruderMode::misread() const {
  if (total_read_as_steps()) return EMisread::total_as_steps;
  return steps_read_as_total() ? EMisread::steps_as_total : EMisread::no;
}

bool ExtruderMode::total_read_as_steps() const {
  return differences_.is_steady() && differences_.is_plausible() &&
         steps_per_mm_.median() > many_times * differences_.per_mm.median();
}

bool ExtruderMode::steps_read_as_total() const {
  return written_.is_steady() && written_.is_plausible() &&
         static_cast<double>(backward_) >= often_backward * static_cast<double>(written_.moves);
}

}  // namespace beadwise
