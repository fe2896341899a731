#pragma once

#include <string>
#include <string_view>

namespace beadwise {

/// A text as a plain message string (SARIF 2.1.0, section 3.11): nothing in it is a placeholder or a link, and nothing
/// would be obeyed by a screen rather than shown.
std::string sarif_text(std::string_view text);

/// Markdown as a formatted message string: nothing in it is a placeholder.
std::string sarif_markdown(std::string_view markdown);

}  // namespace beadwise
