#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <set>
#include <string>
#include <string_view>

#include "beadwise/move.hpp"

namespace beadwise {

/// Finds out what a file is where it is no material-extrusion print: a milling program, a list of coordinates, an
/// archive. A print is what lays a bead, by E or by an extruder that M101 switches on.
class JobNature {
 public:
  /// As many of the job's first bytes as `on_beginning` can use.
  static constexpr std::size_t beginning_bytes = 4096;

  /// The first bytes of the (unpacked) job, all of them where it is shorter. Once, at any time before the answer.
  void on_beginning(std::string_view bytes);
  /// Every batch of the job, in order.
  void on_moves(const MoveBatch& batch);

  /// After the last batch: what the file looks like, with its article ("a milling program (…)"); none for a print.
  std::optional<std::string> not_a_print() const;
  /// M101 was met: E, if any, is no length.
  bool extruder_switched() const { return extruder_switched_; }

 private:
  void on_event(const Event& event);
  void on_move(const Move& move);
  bool heats_and_builds_up() const;
  std::string toolpath_without_filament() const;
  std::string spindle_program() const;
  std::string without_moves() const;

  std::optional<std::string> container_;  ///< by the mark that its format begins with
  std::optional<std::string> writing_;    ///< what the first lines look like to a reader
  std::set<std::string> spindle_;         ///< names of its commands
  bool extruder_on_ = false;
  bool extruder_switched_ = false;
  bool lays_ = false;
  bool heats_ = false;
  bool commands_ = false;  ///< anything that is a command and no move
  std::uint64_t moves_ = 0;
  std::uint64_t plane_moves_ = 0;  ///< with a motion in X or Y
  std::uint64_t fan_switches_ = 0;
  std::uint64_t text_lines_ = 0;
  std::uint64_t rises_ = 0;  ///< how often a motion in the plane was higher than all before
  double highest_in_plane_mm_ = std::numeric_limits<double>::lowest();
  double lowest_mm_ = std::numeric_limits<double>::max();  ///< of all motions from the first one in the plane on
  double highest_mm_ = std::numeric_limits<double>::lowest();
};

}  // namespace beadwise
