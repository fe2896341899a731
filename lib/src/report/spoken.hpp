#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace beadwise {

/// A number as a person reads it: at most `decimals` of them, no zeros at the end, no "-0", "unknown" where not finite.
std::string spoken(double value, int decimals);

/// "1 warning", "3 warnings".
std::string counted(std::uint64_t count, std::string_view singular);

/// "a, b and c".
std::string listed(const std::vector<std::string>& parts);

/// "1 h 12 min", "12 min 5 s", "8 s".
std::string spoken_duration(double seconds);

/// "3.42 m", "342 mm".
std::string spoken_length(double length_mm);

}  // namespace beadwise
