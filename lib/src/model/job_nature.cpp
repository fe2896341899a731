#include "model/job_nature.hpp"
#include "machine/in_order.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "model/file_marks.hpp"

namespace beadwise {

namespace {

// A print that is fed by something else than E builds up: it heats, and its motions climb step by step. Start scripts
// draw a few lines at one or two heights.
constexpr std::uint64_t least_rises = 3;
constexpr std::uint64_t least_plane_moves = 100;

// Where the fan output drives a laser it is switched for every stroke; start scripts switch a fan once or twice.
constexpr std::uint64_t laser_switches = 4;

// More lines of prose than moves, by far: the moves are words that look like some.
constexpr std::uint64_t prose_per_move = 10;

constexpr double rise_mm = 0.01;

bool moves_in_plane(const Move& move) {
  return move.arc >= 0 || move.from_mm.x != move.to_mm.x || move.from_mm.y != move.to_mm.y;
}

std::string joined(const std::set<std::string>& names) {
  std::string text;
  std::size_t left = names.size();
  for (const std::string& name : names) {
    if (!text.empty()) text += left == 1 ? " and " : ", ";
    text += name;
    --left;
  }
  return text;
}

}  // namespace

void JobNature::on_beginning(std::string_view bytes) {
  bytes = bytes.substr(0, beginning_bytes);
  container_ = format_by_mark(bytes);
  writing_ = kind_of_writing(bytes);
}

void JobNature::on_moves(const MoveBatch& batch) {
  in_order(
      batch, [this](const Event& event) { on_event(event); }, [this](const Move& move) { on_move(move); });
}

void JobNature::on_event(const Event& event) {
  switch (event.kind) {
    case EventKind::extruder_on:
      extruder_on_ = extruder_switched_ = true;
      return;
    case EventKind::extruder_off:
      extruder_on_ = false;
      return;
    case EventKind::spindle:
      // The first few names say enough.
      if (spindle_.size() < 4) spindle_.insert(event.text);
      return;
    case EventKind::fan_set:
      ++fan_switches_;
      break;
    case EventKind::nozzle_set:
      heats_ = heats_ || event.value > 0;
      break;
    case EventKind::unread:
      if (event.trouble == TroubleKind::text_line || event.trouble == TroubleKind::command) ++text_lines_;
      return;
    case EventKind::bad_checksum:
    case EventKind::zero_feed:
    case EventKind::broken_arc:
      return;
    default:
      break;
  }
  commands_ = true;
}

void JobNature::on_move(const Move& move) {
  if (lays_) return;
  ++moves_;
  const bool in_plane = moves_in_plane(move);
  lays_ = move.kind == MoveKind::bead || (extruder_on_ && in_plane);
  if (in_plane) ++plane_moves_;
  if (plane_moves_ == 0) return;
  lowest_mm_ = std::min(lowest_mm_, move.to_mm.z);
  highest_mm_ = std::max(highest_mm_, move.to_mm.z);
  if (!in_plane || move.to_mm.z <= highest_in_plane_mm_ + rise_mm) return;
  highest_in_plane_mm_ = move.to_mm.z;
  ++rises_;
}

bool JobNature::heats_and_builds_up() const {
  return heats_ && rises_ >= least_rises && plane_moves_ >= least_plane_moves;
}

std::optional<std::string> JobNature::not_a_print() const {
  if (container_) return container_;
  if (lays_) return std::nullopt;
  if (writing_ == "binary data") return writing_;
  if (!spindle_.empty() && moves_ > 0) return spindle_program();
  if (text_lines_ > prose_per_move * moves_) return writing_ ? *writing_ : "text that is no G-code";
  if (moves_ == 0) return without_moves();
  if (heats_and_builds_up()) return std::nullopt;
  return toolpath_without_filament();
}

std::string JobNature::spindle_program() const {
  const std::string commands = joined(spindle_);
  // A spindle's tool goes down into the work; a laser or a pen that is switched stays at one height.
  if (plane_moves_ > 0 && highest_mm_ - lowest_mm_ < rise_mm)
    return fmt::format("a laser's or a plotter's program ({} and no motion in Z)", commands);
  const double deepest_mm = plane_moves_ > 0 ? lowest_mm_ : 0;
  if (deepest_mm < 0) return fmt::format("a milling program ({}, with cuts down to Z {:.2f} mm)", commands, deepest_mm);
  return fmt::format("a milling program ({})", commands);
}

std::string JobNature::without_moves() const {
  if (commands_ || !spindle_.empty()) return "a start script or a macro";
  if (writing_) return *writing_;
  return "a file of comments";
}

std::string JobNature::toolpath_without_filament() const {
  if (heats_) return "a start script or a macro (it heats the nozzle)";
  if (fan_switches_ >= laser_switches && plane_moves_ > 0)
    return fmt::format("a laser's program (it switches the fan output {} times and heats nothing)", fan_switches_);
  if (plane_moves_ == 0) return "a start script or a macro";
  if (lowest_mm_ < 0) return fmt::format("a milling program (motions down to Z {:.2f} mm)", lowest_mm_);
  if (commands_ && plane_moves_ < least_plane_moves) return "a start script or a macro";
  return "a plotter's or another machine's program (it feeds no filament and heats nothing)";
}

}  // namespace beadwise
