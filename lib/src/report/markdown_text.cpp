#include "report/markdown_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <vector>

#include "base/lower_case.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

struct Piece {
  std::string text;
  bool is_code = false;
};

bool is_blank(char letter) { return letter == ' '; }

/// What a screen would show, at most `most_markdown_bytes` of it.
std::string bounded(std::string_view text) {
  if (text.size() <= most_markdown_bytes) return shown(text);
  std::size_t end = most_markdown_bytes;
  // Bytes that continue a letter (RFC 3629) go with the letter.
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
  return shown(text.substr(0, end)) + " …";
}

std::size_t longest_run_of_backticks(std::string_view text) {
  std::size_t longest = 0;
  std::size_t run = 0;
  for (const char letter : text) {
    run = letter == '`' ? run + 1 : 0;
    longest = std::max(longest, run);
  }
  return longest;
}

/// A code span without a bar in it.
std::string code_span(std::string_view text) {
  if (text.empty()) return {};
  // A code span of blanks alone keeps them; else one at each end is taken off again.
  const bool only_blanks = std::all_of(text.begin(), text.end(), is_blank);
  const bool needs_blanks =
      text.front() == '`' || text.back() == '`' || (!only_blanks && is_blank(text.front()) && is_blank(text.back()));
  const std::string fence(longest_run_of_backticks(text) + 1, '`');
  const std::string_view blank = needs_blanks ? " " : "";
  std::string out = fence;
  out += blank;
  out += text;
  out += blank;
  return out + fence;
}

/// A bar would end a cell of a table, within code too; as an entity between two pieces of code it does not.
std::string code_with_bars(std::string_view text) {
  std::string out;
  for (std::size_t bar = text.find('|'); bar != std::string_view::npos; bar = text.find('|')) {
    out += code_span(text.substr(0, bar)) + "&#124;";
    text.remove_prefix(bar + 1);
  }
  return out + code_span(text);
}

std::string escaped_letter(char letter) {
  switch (letter) {
    case '&':
      return "&amp;";
    case '<':
      return "&lt;";
    case '>':
      return "&gt;";
    case '|':
      return "&#124;";
    default:
      break;
  }
  constexpr std::string_view marks = "\\`*_[]~$#";
  const bool is_mark = marks.find(letter) != std::string_view::npos;
  return is_mark ? std::string{'\\', letter} : std::string(1, letter);
}

std::string plain(std::string_view text) {
  std::string out;
  for (const char letter : text) out += escaped_letter(letter);
  return out;
}

bool is_plain_letter(char letter) {
  constexpr std::string_view stops = ".,;:()-+/%='\"?!";
  return std::isalnum(static_cast<unsigned char>(letter)) != 0 || static_cast<unsigned char>(letter) >= 0x80 ||
         stops.find(letter) != std::string_view::npos;
}

bool is_letter(char letter) { return std::isalpha(static_cast<unsigned char>(letter)) != 0; }

/// "orchard.example": programs that show notes make a link of it.
bool has_inner_dot(std::string_view word) {
  for (std::size_t i = 1; i + 2 < word.size(); ++i)
    if (word[i] == '.' && is_letter(word[i + 1]) && is_letter(word[i + 2])) return true;
  return false;
}

/// Where notes are read, such words become links, pictures or calls to somebody, whatever is escaped in them.
bool calls_something(std::string_view word) {
  constexpr std::string_view calls = ":!";
  return calls.find(word.front()) != std::string_view::npos || word.starts_with("--") || has_inner_dot(word) ||
         word.find("//") != std::string_view::npos || lower_case(std::string(word)).starts_with("mailto:");
}

/// A single mark is no name; it is escaped where it stands.
bool is_code_word(std::string_view word) {
  return word.size() > 1 && (!std::all_of(word.begin(), word.end(), is_plain_letter) || calls_something(word));
}

/// The stops around a word go with the sentence, not with the code.
void add_word(std::string_view word, std::vector<Piece>& pieces) {
  if (!is_code_word(word)) {
    pieces.push_back({std::string(word), false});
    return;
  }
  constexpr std::string_view before = "(\"";
  constexpr std::string_view after = ".,;:)\"?!";
  const std::size_t first = std::min(word.find_first_not_of(before), word.size());
  const std::size_t last = std::max(word.find_last_not_of(after) + 1, first);
  pieces.push_back({std::string(word.substr(0, first)), false});
  pieces.push_back({std::string(word.substr(first, last - first)), true});
  pieces.push_back({std::string(word.substr(last)), false});
}

void add_words(std::string_view text, std::vector<Piece>& pieces) {
  while (!text.empty()) {
    const std::size_t start = std::min(text.find_first_not_of(' '), text.size());
    pieces.push_back({std::string(text.substr(0, start)), false});
    text.remove_prefix(start);
    const std::string_view word = text.substr(0, text.find(' '));
    if (!word.empty()) add_word(word, pieces);
    text.remove_prefix(word.size());
  }
}

std::vector<Piece> pieces_of(std::string_view text) {
  std::vector<Piece> pieces;
  while (true) {
    const std::size_t open = text.find('`');
    const std::size_t close = open == std::string_view::npos ? open : text.find('`', open + 1);
    if (close == std::string_view::npos) break;
    add_words(text.substr(0, open), pieces);
    pieces.push_back({std::string(text.substr(open + 1, close - open - 1)), true});
    text.remove_prefix(close + 1);
  }
  add_words(text, pieces);
  return pieces;
}

/// Without empty pieces; a blank between two words of code is code.
std::vector<Piece> joined(std::vector<Piece> pieces) {
  std::erase_if(pieces, [](const Piece& piece) { return piece.text.empty(); });
  for (std::size_t i = 1; i + 1 < pieces.size(); ++i)
    if (pieces[i].text == " " && pieces[i - 1].is_code && pieces[i + 1].is_code) pieces[i].is_code = true;
  return pieces;
}

/// Nothing at the start of a line may make a list or an underline of what follows.
std::string unlisted(std::string text) {
  constexpr std::string_view marks = "-+=";
  std::size_t at = 0;
  while (at < text.size() && std::isdigit(static_cast<unsigned char>(text[at])) != 0) ++at;
  const bool numbered = at > 0 && at < text.size() && (text[at] == '.' || text[at] == ')');
  const bool marked = at == 0 && !text.empty() && marks.find(text.front()) != std::string_view::npos;
  if (numbered || marked) text.insert(at, 1, '\\');
  return text;
}

}  // namespace

std::string markdown_code(std::string_view text) { return code_with_bars(bounded(text)); }

std::string markdown_prose(std::string_view text) {
  const std::string clean = bounded(text);
  const std::size_t start = std::min(clean.find_first_not_of(' '), clean.size());
  std::string out;
  std::string code;
  // Two code spans must not touch: their backticks would make one run.
  const auto finish_code = [&] {
    out += code_with_bars(code);
    code.clear();
  };
  for (const Piece& piece : joined(pieces_of(std::string_view(clean).substr(start)))) {
    if (piece.is_code) {
      code += piece.text;
    } else {
      finish_code();
      out += plain(piece.text);
    }
  }
  finish_code();
  return unlisted(out);
}

std::string markdown_item(std::string_view text) { return fmt::format("- {}\n", text); }

std::string markdown_assumed(std::span<const AssumedForReason> groups) {
  std::string out;
  for (const AssumedForReason& group : groups) {
    std::vector<std::string> values;
    for (const std::string& value : group.values) values.push_back(markdown_code(value));
    const std::string because = group.because.empty() ? std::string() : ": " + markdown_prose(group.because);
    out += markdown_item(fmt::format("{} ({}){}", fmt::join(values, ", "), group.origin, because));
  }
  return out;
}

}  // namespace beadwise
