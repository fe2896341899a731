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
  explicit BatchFollower(std::function<void(const MoveBatch&)> follow);
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

  std::function<void(const MoveBatch&)> follow_;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<MoveBatch> waiting_;
  std::vector<MoveBatch> followed_;
  bool ended_ = false;
  std::exception_ptr failure_;
  std::thread thread_;
};

}  // namespace beadwise
