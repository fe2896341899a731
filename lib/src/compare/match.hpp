#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "beadwise/compare.hpp"

namespace beadwise {

/// Which finding of one report is which of the other, by their numbers.
struct Match {
  std::optional<std::size_t> before;
  std::optional<std::size_t> after;
  KnownBy known_by = KnownBy::nothing;
  bool elsewhere = false;
};

/// Every finding of both reports once. Swapped reports give the same matches, swapped.
std::vector<Match> match(const FileReport& before, const FileReport& after);

}  // namespace beadwise
