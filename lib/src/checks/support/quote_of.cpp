#include "checks/support/quote_of.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace beadwise::checks {

namespace {

unsigned byte_at(std::string_view text, std::size_t at) { return static_cast<unsigned char>(text[at]); }

/// Length of the UTF-8 character (RFC 3629, section 4) that starts at `at`; 0 where none does.
std::size_t character_length(std::string_view text, std::size_t at) {
  const unsigned lead = byte_at(text, at);
  if (lead < 0x80) return 1;
  const std::size_t length = lead >= 0xC2 && lead < 0xE0   ? 2
                             : lead >= 0xE0 && lead < 0xF0 ? 3
                             : lead >= 0xF0 && lead < 0xF5 ? 4
                                                           : 0;
  if (length == 0 || at + length > text.size()) return 0;
  for (std::size_t i = 1; i < length; ++i)
    if ((byte_at(text, at + i) & 0xC0U) != 0x80U) return 0;
  const unsigned second = byte_at(text, at + 1);
  const bool overlong = (lead == 0xE0 && second < 0xA0) || (lead == 0xF0 && second < 0x90);
  const bool no_character = (lead == 0xED && second >= 0xA0) || (lead == 0xF4 && second >= 0x90);
  return overlong || no_character ? 0 : length;
}

/// A no-break space looks like a blank and is what broke the line: it must be seen.
bool is_hidden(std::string_view character) {
  const unsigned first = byte_at(character, 0);
  return first < 0x20 || first == 0x7F || (first == 0xC2 && byte_at(character, 1) <= 0xA0);
}

}  // namespace

std::string quote_of(std::string_view text) {
  std::string shown = "\"";
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t length = character_length(text, at);
    const std::size_t taken = std::max<std::size_t>(length, 1);
    if (at + taken > quote_bytes) break;
    const std::string_view piece = text.substr(at, taken);
    if (length == 0 || is_hidden(piece)) {
      for (std::size_t i = 0; i < taken; ++i) shown += fmt::format("\\x{:02X}", byte_at(piece, i));
    } else {
      shown += piece;
    }
    at += taken;
  }
  shown += at < text.size() ? "…\"" : "\"";
  return shown;
}

}  // namespace beadwise::checks
