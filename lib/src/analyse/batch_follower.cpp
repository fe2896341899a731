#include "analyse/batch_follower.hpp"

#include <algorithm>
#include <utility>

namespace beadwise {

BatchFollower::BatchFollower(std::function<std::size_t(const MoveBatch&)> follow)
    : follow_(std::move(follow)), thread_([this] { run(); }) {}

BatchFollower::~BatchFollower() { end(true); }

void BatchFollower::give(MoveBatch& batch) {
  std::unique_lock lock(mutex_);
  changed_.wait(lock, [this] { return waiting_.size() < most_waiting_ || failure_; });
  if (failure_) std::rethrow_exception(failure_);
  waiting_.push_back(std::move(batch));
  batch = MoveBatch{};
  if (!followed_.empty()) {
    batch = std::move(followed_.back());
    followed_.pop_back();
  }
  changed_.notify_all();
}

void BatchFollower::finish() {
  end(false);
  if (failure_) std::rethrow_exception(failure_);
}

void BatchFollower::run() {
  std::unique_lock lock(mutex_);
  while (true) {
    changed_.wait(lock, [this] { return !waiting_.empty() || ended_; });
    if (waiting_.empty()) break;
    MoveBatch batch = std::move(waiting_.front());
    waiting_.pop_front();
    lock.unlock();
    changed_.notify_all();
    std::size_t may_wait = 0;
    std::exception_ptr failure;
    try {
      may_wait = follow_(batch);
    } catch (...) {
      failure = std::current_exception();
    }
    lock.lock();
    failure_ = failure;
    if (failure_) break;
    most_waiting_ = std::max(fewest_waiting, may_wait);
    followed_.push_back(std::move(batch));
  }
  changed_.notify_all();
}

void BatchFollower::end(bool drop) {
  {
    const std::lock_guard lock(mutex_);
    ended_ = true;
    if (drop) waiting_.clear();
  }
  changed_.notify_all();
  if (thread_.joinable()) thread_.join();
}

}  // namespace beadwise
