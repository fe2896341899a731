#include "analyse/batch_follower.hpp"

#include <utility>

namespace beadwise {

namespace {

// Enough that neither side waits for a layer that is judged whole; a batch is about 1 MB.
constexpr std::size_t most_waiting = 4;

}  // namespace

BatchFollower::BatchFollower(std::function<void(const MoveBatch&)> follow)
    : follow_(std::move(follow)), thread_([this] { run(); }) {}

BatchFollower::~BatchFollower() { end(true); }

void BatchFollower::give(MoveBatch& batch) {
  std::unique_lock lock(mutex_);
  changed_.wait(lock, [this] { return waiting_.size() < most_waiting || failure_; });
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
    if (waiting_.empty()) return;
    MoveBatch batch = std::move(waiting_.front());
    waiting_.pop_front();
    lock.unlock();
    changed_.notify_all();
    try {
      follow_(batch);
    } catch (...) {
      lock.lock();
      failure_ = std::current_exception();
      lock.unlock();
      changed_.notify_all();
      return;
    }
    lock.lock();
    followed_.push_back(std::move(batch));
  }
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
