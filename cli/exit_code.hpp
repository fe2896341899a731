#pragma once

#include <algorithm>
#include <cstdint>

#include "beadwise/error.hpp"

namespace beadwise::cli {

/// What the program ends with; of several the highest holds.
enum class ExitCode : std::uint8_t {
  good = 0,         ///< nothing at or above the gate
  found = 1,        ///< findings at or above the gate
  not_done = 2,     ///< wrong usage, profile or option, a folder without files, an output that cannot be written
  not_readable = 3  ///< a file could not be read to its end
};

inline ExitCode worse(ExitCode a, ExitCode b) { return std::max(a, b); }

inline ExitCode exit_code_of(ErrorKind kind) {
  return kind == ErrorKind::file ? ExitCode::not_readable : ExitCode::not_done;
}

}  // namespace beadwise::cli
