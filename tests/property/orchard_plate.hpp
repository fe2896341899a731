#pragma once

#include <cstdint>

#include "support/print.hpp"

namespace beadwise::tests {

/// A plate of row labels and irrigation rings with some things wrong, another for every seed, the same for each: too
/// many retractions, a head that was never homed, a nozzle left on, an arc that cannot be, words that cannot be read.
Print orchard_plate(std::uint64_t seed);

/// One with nothing wrong, of row labels and rings.
Print sound_plate(std::uint64_t seed);

}  // namespace beadwise::tests
