#include "report/sarif_text.hpp"

#include "report/wrap.hpp"

namespace beadwise {

namespace {

/// Section 3.11.5: a brace that begins no placeholder is doubled.
std::string with_braces_doubled(std::string_view text) {
  std::string out;
  for (const char letter : text) {
    out += letter;
    if (letter == '{' || letter == '}') out += letter;
  }
  return out;
}

/// Section 3.11.6: `[text](target)` is a link wherever it stands; a blank parts it.
std::string with_links_parted(const std::string& text) {
  std::string out;
  for (const char letter : text) {
    if (letter == '(' && out.ends_with(']')) out += ' ';
    out += letter;
  }
  return out;
}

}  // namespace

std::string sarif_text(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t end = text.find('\n');
    out += shown(text.substr(0, end));
    if (end == std::string_view::npos) break;
    out += '\n';
    text.remove_prefix(end + 1);
  }
  return with_braces_doubled(with_links_parted(out));
}

std::string sarif_markdown(std::string_view markdown) { return with_braces_doubled(markdown); }

}  // namespace beadwise
