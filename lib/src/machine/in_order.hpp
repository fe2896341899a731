#pragma once

#include <cstddef>

#include "beadwise/move.hpp"

namespace beadwise {

/// Calls `on_event` for every event and `on_move` for every move of a batch, in the order of the file. `batch` is a
/// MoveBatch, const or not.
template <class Batch, class OnEvent, class OnMove>
void in_order(Batch& batch, OnEvent on_event, OnMove on_move) {
  std::size_t event = 0;
  for (std::size_t move = 0; move < batch.moves.size(); ++move) {
    for (; event < batch.events.size() && batch.events[event].before <= move; ++event) on_event(batch.events[event]);
    on_move(batch.moves[move]);
  }
  for (; event < batch.events.size(); ++event) on_event(batch.events[event]);
}

}  // namespace beadwise
