#pragma once

#include <cstddef>
#include <cstdint>
#include <string_view>

namespace beadwise {

/// One code point of a text, or one byte that belongs to none.
struct CodePoint {
  std::uint32_t code = 0;
  std::size_t bytes = 1;
  bool valid = false;
};

/// The first code point of a text that is not empty (RFC 3629: no overlong forms, no surrogates, at most U+10FFFF).
CodePoint first_code_point(std::string_view text);

/// U+FFFD, what stands for bytes that are no UTF-8.
inline constexpr std::string_view replacement_character = "\xEF\xBF\xBD";

}  // namespace beadwise
