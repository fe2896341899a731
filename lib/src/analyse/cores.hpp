#pragma once

#include <algorithm>
#include <thread>

#include "beadwise/analyse.hpp"

namespace beadwise {

/// Threads that an analysis may use.
inline unsigned cores_for(const AnalyseOptions& options) {
  return options.threads > 0 ? options.threads : std::max(1U, std::thread::hardware_concurrency());
}

}  // namespace beadwise
