#pragma once

#include <string>

namespace beadwise {

/// A value with its unit as a person reads it; a ratio as a percentage.
std::string quantity(double value, const std::string& unit);

}  // namespace beadwise
