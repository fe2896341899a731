#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "beadwise/finding.hpp"

namespace beadwise::checks {

/// A number for a sentence: at most `decimals` of them, zeros at the end left out.
std::string figure(double value, int decimals = 0);

/// "1 retraction", "12 retractions".
std::string counted(std::uint64_t count, std::string_view one, std::string_view many);

/// "layer 7", "layers 7 to 9", "before the first layer".
std::string layers_between(std::uint32_t first, std::uint32_t last);

/// The same for everything in `places`.
std::string layers_of(const Places& places);

}  // namespace beadwise::checks
