#pragma once

#include <span>
#include <string>
#include <string_view>

#include "report/background_text.hpp"

namespace beadwise {

/// A text as a code span (CommonMark 0.30, section 6.1), shown letter by letter: nothing in it is markup, a link or
/// somebody's name. Holds in a cell of a table too. Longer than `most_markdown_bytes` it is cut.
std::string markdown_code(std::string_view text);

/// A sentence: what stands between backticks, and every word that is more than letters, figures and stops, is code;
/// the rest has its marks escaped. Holds in a cell of a table too. Longer than `most_markdown_bytes` it is cut.
std::string markdown_prose(std::string_view text);

/// A line of a list; `text` is Markdown already.
std::string markdown_item(std::string_view text);

/// What was assumed, a line of a list for each reason.
std::string markdown_assumed(std::span<const AssumedForReason> groups);

/// The most bytes of one text that go into a note.
inline constexpr std::size_t most_markdown_bytes = 2000;

}  // namespace beadwise
