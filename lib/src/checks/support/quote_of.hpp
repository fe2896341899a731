#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace beadwise::checks {

/// The most bytes of a file's own text that a sentence repeats.
inline constexpr std::size_t quote_bytes = 40;

/// A piece of the file between quotation marks, fit for a sentence: cut after `quote_bytes` without splitting a
/// character of UTF-8; control bytes and bytes that are no UTF-8 written as \xNN.
std::string quote_of(std::string_view text);

}  // namespace beadwise::checks
