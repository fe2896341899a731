#pragma once

#include <optional>
#include <string_view>

namespace beadwise {

/// The value of `text` where all of it is `digits[.digits]` or `.digits`; without sign or exponent.
std::optional<double> plain_number(std::string_view text);

}  // namespace beadwise
