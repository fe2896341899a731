#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "beadwise/finding.hpp"

namespace beadwise {

/// The lines that findings name, in order.
std::vector<std::uint64_t> named_lines(std::span<const Finding> findings);

}  // namespace beadwise
