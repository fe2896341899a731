#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <mutex>
#include <string>

namespace beadwise::cli {

/// A line on a terminal's standard error that says what is being read, from one second on; gone when it is done.
class Progress {
 public:
  Progress();
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  /// To be called by whoever reads, from any thread; empty where there is nobody to see it.
  std::function<void(const std::string& name, std::uint64_t bytes)> callback();

 private:
  void show(const std::string& name, std::uint64_t bytes);

  using Clock = std::chrono::steady_clock;
  bool on_terminal_ = false;
  Clock::time_point next_;
  std::mutex mutex_;
  bool shown_ = false;
};

}  // namespace beadwise::cli
