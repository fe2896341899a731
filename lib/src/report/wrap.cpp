#include "report/wrap.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <utility>

#include "base/utf8.hpp"

namespace beadwise {

namespace {

constexpr std::size_t least_width = 20;

struct Span {
  std::uint32_t first;
  std::uint32_t last;
};

template <std::size_t size>
bool within(const std::array<Span, size>& spans, std::uint32_t code) {
  return std::any_of(spans.begin(), spans.end(), [&](Span span) { return code >= span.first && code <= span.last; });
}

/// Unicode: combining marks and zero-width letters, the common blocks.
constexpr std::array<Span, 6> without_width = {Span{0x300, 0x36F}, {0x483, 0x489},   {0x200B, 0x200F},
                                               {0x20D0, 0x20FF},   {0xFE00, 0xFE0F}, {0xFE20, 0xFE2F}};
/// Unicode Standard Annex 11: the blocks that are wide throughout.
constexpr std::array<Span, 8> double_width = {Span{0x1100, 0x115F}, {0x2E80, 0xA4CF},  {0xAC00, 0xD7A3},
                                              {0xF900, 0xFAFF},     {0xFE30, 0xFE6F},  {0xFF00, 0xFF60},
                                              {0x1F300, 0x1FAFF},   {0x20000, 0x3FFFD}};

std::size_t columns_of_letter(const CodePoint& letter) {
  if (within(without_width, letter.code)) return 0;
  return within(double_width, letter.code) ? 2 : 1;
}

/// How many bytes of the text fit into `width` columns; at least one letter.
std::size_t bytes_that_fit(std::string_view text, std::size_t width) {
  std::size_t used = 0;
  std::size_t columns = 0;
  while (used < text.size()) {
    const CodePoint letter = first_code_point(text.substr(used));
    columns += columns_of_letter(letter);
    if (columns > width && used > 0) break;
    used += letter.bytes;
  }
  return used;
}

bool is_control(std::uint32_t code) { return code < 0x20 || (code >= 0x7F && code < 0xA0); }

/// Marks that turn the reading direction can make a line read as something else than it is.
bool turns_direction(std::uint32_t code) {
  return (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069);
}

constexpr std::array<std::string_view, 12> units = {"mm",    "mm²", "mm³", "mm/s", "mm³/s", "mm/s²",
                                                    "mm²/s", "m",   "s",   "°C",   "g",     "%"};

bool is_unit(std::string_view word) {
  word = word.substr(0, word.find_last_not_of(".,:;)") + 1);
  return std::find(units.begin(), units.end(), word) != units.end();
}

bool is_digit(char letter) { return letter >= '0' && letter <= '9'; }

/// A number and its unit stay together, and so do an axis and its coordinate.
bool belong_together(std::string_view word, std::string_view next) {
  if (word.empty() || next.empty()) return false;
  const bool axis = word.size() == 1 && word[0] >= 'X' && word[0] <= 'Z';
  if (axis) return is_digit(next[0]) || next[0] == '-';
  return is_digit(word.back()) && is_unit(next);
}

/// The first word of a text that begins with one, with what must not be parted from it.
std::string_view first_word(std::string_view text) {
  std::size_t end = std::min(text.find(' '), text.size());
  std::size_t start = 0;
  while (end < text.size()) {
    const std::string_view rest = text.substr(end + 1);
    const std::string_view next = rest.substr(0, rest.find(' '));
    if (!belong_together(text.substr(start, end - start), next)) break;
    start = end + 1;
    end = start + next.size();
  }
  return text.substr(0, end);
}

}  // namespace

std::size_t columns_of(std::string_view text) {
  std::size_t columns = 0;
  while (!text.empty()) {
    const CodePoint letter = first_code_point(text);
    columns += columns_of_letter(letter);
    text.remove_prefix(letter.bytes);
  }
  return columns;
}

std::string shown(std::string_view text) {
  std::string clean;
  clean.reserve(text.size());
  while (!text.empty()) {
    const CodePoint letter = first_code_point(text);
    const bool blank = letter.valid && (letter.code == '\t' || letter.code == '\n' || letter.code == '\r');
    const bool unsafe = !letter.valid || is_control(letter.code) || turns_direction(letter.code);
    if (blank) {
      clean += ' ';
    } else if (unsafe) {
      clean += replacement_character;
    } else {
      clean += text.substr(0, letter.bytes);
    }
    text.remove_prefix(letter.bytes);
  }
  return clean;
}

std::vector<std::string> wrapped(std::string_view text, std::size_t given_width) {
  const std::size_t width = std::max(given_width, least_width);
  std::vector<std::string> lines;
  std::string line;
  std::size_t columns = 0;
  const auto finish_line = [&] {
    lines.push_back(std::exchange(line, {}));
    columns = 0;
  };
  while (!text.empty()) {
    const std::size_t start = std::min(text.find_first_not_of(' '), text.size());
    text.remove_prefix(start);
    if (text.empty()) break;
    std::string_view word = first_word(text);
    text.remove_prefix(word.size());
    const std::size_t word_columns = columns_of(word);
    if (columns > 0 && columns + 1 + word_columns > width) finish_line();
    if (columns > 0) {
      line += ' ';
      ++columns;
    }
    while (columns + columns_of(word) > width) {
      const std::size_t fitting = bytes_that_fit(word, width - columns);
      line += word.substr(0, fitting);
      word.remove_prefix(fitting);
      finish_line();
    }
    line += word;
    columns += columns_of(word);
  }
  if (columns > 0 || lines.empty()) lines.push_back(line);
  return lines;
}

std::string hanging(std::string_view label, std::string_view text, std::size_t width) {
  const std::size_t indent = columns_of(label);
  std::string out(label);
  bool first = true;
  for (const std::string& line : wrapped(text, width > indent ? width - indent : 0)) {
    if (!first) out += std::string(line.empty() ? 0 : indent, ' ');
    out += line;
    out += '\n';
    first = false;
  }
  return out;
}

std::string left_aligned(std::string_view text, std::size_t width) {
  const std::size_t columns = columns_of(text);
  return std::string(text) + std::string(columns < width ? width - columns : 0, ' ');
}

std::string right_aligned(std::string_view text, std::size_t width) {
  const std::size_t columns = columns_of(text);
  return std::string(columns < width ? width - columns : 0, ' ') + std::string(text);
}

}  // namespace beadwise
