#pragma once

#include <cmath>
#include <optional>

#include "beadwise/profile.hpp"

namespace beadwise::checks {

/// Set points at which the material is printed, °C, where one material is known or guessed.
std::optional<Range> nozzle_range(const FilamentProfile& filament);

/// The middle of it, in whole degrees: strings get fewer down to there.
inline double middle_c(const Range& range) { return std::round((range.low + range.high) / 2); }

}  // namespace beadwise::checks
