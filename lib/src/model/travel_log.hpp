#pragma once

#include <array>
#include <cstdint>
#include <deque>
#include <vector>

#include "beadwise/move.hpp"
#include "model/indexed_layer.hpp"

namespace beadwise {

/// Gathers the travels of each layer while its beads are gathered elsewhere.
class TravelLog {
 public:
  void on_moves(const MoveBatch& batch);

  /// The travels of a layer that is complete, in order; those of earlier layers are forgotten.
  std::vector<Travel> take(std::uint32_t layer);

 private:
  struct Logged {
    Travel travel;
    std::uint32_t layer = 0;
  };
  /// Of one tool's filament.
  struct Pulled {
    bool back = false;        ///< and not fed forward since
    bool by_machine = false;  ///< by a firmware retraction that no prime has ended
  };
  void on_event(const Event& event);
  void on_move(const MoveBatch& batch, const Move& move);
  void on_travel(const MoveBatch& batch, const Move& move, bool pulled_by_machine);
  void log(const Travel& travel, std::uint32_t layer);

  std::deque<Logged> logged_;
  std::uint32_t layer_ = 0;
  std::uint32_t beads_ = 0;  ///< of that layer
  std::uint32_t retractions_ = 0;
  std::array<Pulled, 64> pulled_{};  ///< by tool
};

}  // namespace beadwise
