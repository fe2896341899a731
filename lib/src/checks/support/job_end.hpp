#pragma once

#include <cstdint>
#include <limits>

#include "beadwise/check.hpp"
#include "checks/support/laying.hpp"

namespace beadwise::checks {

/// How far a job may lift the nozzle while it goes on; shared by the checks that ask whether it ended on purpose.
inline constexpr Threshold largest_lift{
    .key = "largest_lift_mm",
    .built_in = 2,
    .unit = "mm",
    .meaning = "a nozzle no higher than this over the last bead, and over the part, has not been moved away from it",
    .source = "common practice: lifts between beads are 0.2 to 1 mm, end scripts lift by 3 mm and more"};

/// Follows what a file does after its last bead. Wants every batch.
class JobEnd {
 public:
  explicit JobEnd(double largest_lift_mm) : largest_lift_mm_(largest_lift_mm) {}

  void on_moves(const MoveBatch& batch);

  bool has_beads() const { return has_beads_; }
  /// Of the last bead; 0 where there is none.
  std::uint64_t last_bead_line() const { return last_bead_line_; }
  std::uint32_t last_bead_layer() const { return last_bead_layer_; }
  const Point& last_bead_end_mm() const { return last_bead_end_mm_; }

  /// A macro, an unknown command or a pause after the last bead: what it does to heaters and head is not in the file.
  bool is_hidden(const JobSummary& job) const;

  /// The job stops at its part: heaters on, nobody parked the head, switched anything off or ended the program.
  bool stops_at_part(const JobSummary& job) const;

 private:
  struct After {
    bool hidden = false;
    std::uint64_t hiding_line = 0;  ///< of a command by number that hides what comes; 0: there is none
    bool end_command = false;
    std::uint64_t moved_away_line = 0;  ///< 0: it stayed
  };

  void on_event(const Event& event);
  void on_move(const Move& move);
  bool is_away(const Point& point) const;

  double largest_lift_mm_;
  Laying laying_;
  bool has_beads_ = false;
  std::uint64_t last_bead_line_ = 0;
  std::uint32_t last_bead_layer_ = 0;
  Point last_bead_end_mm_;
  Point low_{std::numeric_limits<double>::max(), std::numeric_limits<double>::max(), 0};
  Point high_{std::numeric_limits<double>::lowest(), std::numeric_limits<double>::lowest(), 0};
  After after_;
};

/// Whether any heater of a nozzle or of the bed is known to be on.
bool any_heater_on(const Settings& settings);

}  // namespace beadwise::checks
