#pragma once

#include <cstdint>
#include <deque>
#include <limits>
#include <optional>

#include "beadwise/move.hpp"

namespace beadwise::checks {

/// Tells from the events of a job on which lines it is known where the head is, and that what was printed still stands.
class StandingPrint {
 public:
  /// Every batch of the job, in order.
  void on_moves(const MoveBatch& batch);

  /// Whether both are known on a line that is not forgotten.
  bool known_on(std::uint64_t line) const;
  /// Nobody will ask about lines before this one.
  void forget_before(std::uint64_t line);

 private:
  struct Lines {
    std::uint64_t first = 0;
    std::uint64_t last = 0;
  };

  void on_event(const Event& event);
  void on_move(const Move& move);
  void doubt(const Event& event, bool may_be_cleared);
  void give_up(std::uint64_t line);

  bool printed_ = false;
  double lowest_mm_ = 0;  ///< of the beads so far
  double bed_c_ = 0;
  std::uint64_t doubted_from_ = 0;  ///< 0 where nothing is in doubt
  bool may_be_cleared_ = false;
  std::optional<Event> origin_;                                            ///< set since the last move
  std::deque<Lines> in_doubt_;                                             ///< in order
  std::uint64_t known_until_ = std::numeric_limits<std::uint64_t>::max();  ///< from this line on nothing is known
};

}  // namespace beadwise::checks
