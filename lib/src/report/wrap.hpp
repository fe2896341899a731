#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace beadwise {

/// How many terminal columns a text takes; combining marks take none, wide East Asian letters two.
std::size_t columns_of(std::string_view text);

/// The text with everything that a terminal would obey rather than show replaced: control characters, and bytes that
/// are no UTF-8, become U+FFFD; a tab and a line end become a blank.
std::string shown(std::string_view text);

/// Lines of at most `width` columns, broken at blanks. A word that is longer than a line is broken where the line ends.
std::vector<std::string> wrapped(std::string_view text, std::size_t width);

/// The same with `label` before the first line and as many blanks before the others; ends in a newline.
std::string hanging(std::string_view label, std::string_view text, std::size_t width);

/// The text and blanks up to `width` columns, on the right or on the left.
std::string left_aligned(std::string_view text, std::size_t width);
std::string right_aligned(std::string_view text, std::size_t width);

}  // namespace beadwise
