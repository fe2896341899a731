#pragma once

#include <string>
#include <string_view>

#include "beadwise/profile.hpp"

namespace beadwise {

/// A value as TOML; numbers with the fewest digits that read back as the same number.
std::string toml_text(double value);
std::string toml_text(bool value);
std::string toml_text(const Range& value);
std::string toml_text(const std::string& value);
std::string toml_text(EUnit value);
std::string toml_text(Drive value);

/// A text as comment lines of TOML, whatever bytes are in it.
std::string toml_comment(std::string_view text);

}  // namespace beadwise
