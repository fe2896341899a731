#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "beadwise/job.hpp"

namespace beadwise {

using Json = nlohmann::ordered_json;

/// A number without the noise of summing: to 1e-6, finer only where that would leave fewer than nine digits. Null where
/// it is not finite, since JSON has no such numbers.
Json json_number(double value);

/// [low, high]
Json json_pair(double low, double high);

/// {"min": …, "max": …} or null.
Json json_min_max(const std::optional<Interval>& interval);

/// The text, or null.
Json json_text(const std::optional<std::string>& text);

/// One value, indented, what fits into a line on one line; bytes that are no UTF-8 become U+FFFD. Ends in a newline.
std::string written(const Json& value);

}  // namespace beadwise
