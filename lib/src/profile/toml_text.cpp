#include "profile/toml_text.hpp"

#include <fmt/format.h>

namespace beadwise {

std::string toml_text(double value) { return fmt::format("{}", value); }
std::string toml_text(bool value) { return value ? "true" : "false"; }
std::string toml_text(const Range& value) { return fmt::format("[{}, {}]", value.low, value.high); }
std::string toml_text(EUnit value) { return fmt::format("\"{}\"", to_string(value)); }
std::string toml_text(Drive value) { return fmt::format("\"{}\"", to_string(value)); }

std::string toml_text(const std::string& value) {
  std::string text = "\"";
  for (const char c : value) {
    if (c == '"' || c == '\\') {
      text += '\\';
      text += c;
    } else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f) {
      text += fmt::format("\\u{:04x}", static_cast<unsigned char>(c));  // TOML 1.0: no control character stands bare
    } else {
      text += c;
    }
  }
  return text + '"';
}

std::string toml_comment(std::string_view text) {
  std::string comment = "# ";
  for (const char c : text) comment += static_cast<unsigned char>(c) < 0x20 || c == 0x7f ? ' ' : c;
  return comment + '\n';
}

}  // namespace beadwise
