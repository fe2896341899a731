#pragma once

#include <string>
#include <string_view>

#include "beadwise/profile.hpp"

namespace beadwise {

enum class Tone : std::uint8_t { plain, strong, faint, good, note, warning, error };

Tone tone_of(Severity severity);

/// The text in its tone where colour is wanted, else as it is.
std::string painted(std::string_view text, Tone tone, bool color);

}  // namespace beadwise
