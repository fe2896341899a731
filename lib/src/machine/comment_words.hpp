#pragma once

#include <optional>
#include <string_view>

#include "beadwise/move.hpp"

namespace beadwise {

/// What a comment says is being printed, read by the words of the trade in any spelling and layout; nothing where it
/// says nothing. A comment with a number or more than five words tells about something else than the next bead.
std::optional<BeadRole> role_in_comment(std::string_view comment);

}  // namespace beadwise
