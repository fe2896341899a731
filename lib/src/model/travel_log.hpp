#pragma once

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
  void on_travel(const MoveBatch& batch, const Move& move);
  void log(const Travel& travel, std::uint32_t layer);

  std::deque<Logged> logged_;
  std::uint32_t layer_ = 0;
  std::uint32_t beads_ = 0;  ///< of that layer
  std::uint32_t retractions_ = 0;
  double owed_mm_ = 0;
  bool owes_ = false;
  bool pulled_by_machine_ = false;
};

}  // namespace beadwise
