#pragma once

#include <cstdio>
#include <cstdlib>
#include <string>

namespace beadwise::fuzz {

/// Ends the program where a promise is broken, so that libFuzzer keeps the input and a replay fails.
inline void demand(bool kept, const std::string& promise) {
  if (kept) return;
  std::fprintf(stderr, "broken promise: %s\n", promise.c_str());
  std::abort();
}

}  // namespace beadwise::fuzz
