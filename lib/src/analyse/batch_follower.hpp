#pragma once

#include <condition_variable>
#include <cstddef>
#include <deque>
#include <exception>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

#include "beadwise/move.hpp"

namespace beadwise {

/// Calls a function for each batch, in order, on a thread of its own. One who gives faster than is followed waits.
class BatchFollower {
 public:
  /// Enough for work that takes about as long for each batch; a batch is about 1 MB.
  static constexpr std::size_t fewest_waiting = 4;

  /// `follow` returns how many batches may wait from then on, at least those few.
  explicit BatchFollower(std::function<std::size_t(const MoveBatch&)> follow);
  /// What is not followed yet is dropped.
  ~BatchFollower();
  BatchFollower(const BatchFollower&) = delete;
  BatchFollower& operator=(const BatchFollower&) = delete;

  /// Takes a batch over and leaves an old one for its storage. Throws what the function threw.
  void give(MoveBatch& batch);
  /// Waits until all is followed. Throws what the function threw.
  void finish();

 private:
  void run();
  void end(bool drop);

  std::function<std::size_t(const MoveBatch&)> follow_;
  std::size_t most_waiting_ = fewest_waiting;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<MoveBatch> waiting_;
  std::vector<MoveBatch> followed_;
  bool ended_ = false;
  std::exception_ptr failure_;
  std::thread thread_;
};

}  // namespace beadwise
