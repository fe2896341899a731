#include "report/html_text.hpp"

#include <fmt/format.h>

#include "report/wrap.hpp"

namespace beadwise {

namespace {

std::string_view sign_shape(std::string_view verdict) {
  if (verdict == "error") return R"(<circle cx="10" cy="10" r="9" class="full"/>)";
  if (verdict == "warning") return R"(<circle cx="10" cy="10" r="8"/><path d="M10 2a8 8 0 0 0 0 16z" class="full"/>)";
  if (verdict == "note") return R"(<circle cx="10" cy="10" r="8"/>)";
  if (verdict == "clean") return R"(<circle cx="10" cy="10" r="8"/><path d="M6 10.5l3 3 5.5-6.5"/>)";
  return R"(<circle cx="10" cy="10" r="8"/><path d="M5 5l10 10"/>)";
}

}  // namespace

std::string escaped(std::string_view text) {
  std::string out;
  for (const char letter : shown(text)) {
    switch (letter) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default:
        out += letter;
    }
  }
  return out;
}

std::string prose(std::string_view text) {
  std::string out;
  while (true) {
    const std::size_t open = text.find('`');
    const std::size_t close = open == std::string_view::npos ? open : text.find('`', open + 1);
    if (close == std::string_view::npos) return out + escaped(text);
    out += escaped(text.substr(0, open));
    out += "<code>" + escaped(text.substr(open + 1, close - open - 1)) + "</code>";
    text.remove_prefix(close + 1);
  }
}

std::string verdict_sign(std::string_view verdict) {
  return fmt::format(R"(<svg class="sign {0}" viewBox="0 0 20 20" aria-hidden="true">{1}</svg>)", verdict,
                     sign_shape(verdict));
}

std::string severity_sign(Severity severity) {
  const std::string_view word = to_string(severity);
  return fmt::format(R"(<span class="severity {0}">{1}{0}</span>)", word, verdict_sign(word));
}

}  // namespace beadwise
