#include "checks/support/quote_of.hpp"

#include <fmt/format.h>

#include "base/utf8.hpp"

namespace beadwise::checks {

namespace {

unsigned byte_at(std::string_view text, std::size_t at) { return static_cast<unsigned char>(text[at]); }

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
    const CodePoint letter = first_code_point(text.substr(at));
    if (at + letter.bytes > quote_bytes) break;
    const std::string_view piece = text.substr(at, letter.bytes);
    if (!letter.valid || is_hidden(piece)) {
      for (std::size_t i = 0; i < piece.size(); ++i) shown += fmt::format("\\x{:02X}", byte_at(piece, i));
    } else {
      shown += piece;
    }
    at += letter.bytes;
  }
  shown += at < text.size() ? "…\"" : "\"";
  return shown;
}

}  // namespace beadwise::checks
