#pragma once

#include <string>
#include <string_view>

#include "beadwise/profile.hpp"

namespace beadwise {

/// The text as HTML shows it, in elements and in quoted attributes; what a screen would obey rather than show becomes
/// U+FFFD, as in a terminal.
std::string escaped(std::string_view text);

/// A text with what stands between backticks as code.
std::string prose(std::string_view text);

/// How bad, as a drawn sign and a word: a full disc for an error, a half one for a warning, a ring for a note.
std::string severity_sign(Severity severity);

/// The sign alone, for a verdict ("error", "warning", "note", "clean" or "unreadable"); passed over when read aloud.
std::string verdict_sign(std::string_view verdict);

}  // namespace beadwise
