#include "model/file_marks.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cstddef>

namespace beadwise {

namespace {

struct Mark {
  std::size_t offset;
  std::string_view bytes;
  std::string_view meaning;
};

// The marks that the formats' own specifications lay down; a line of G-code begins with none of them.
using namespace std::string_view_literals;
constexpr std::array marks{
    Mark{0, "PK\x03\x04"sv, "a ZIP archive or a project in one"},
    Mark{0, "PK\x05\x06"sv, "an empty ZIP archive"},
    Mark{0, "\x1F\x8B"sv, "a gzip archive"},
    Mark{0, "7z\xBC\xAF\x27\x1C"sv, "a 7z archive"},
    Mark{0, "Rar!\x1A\x07"sv, "a RAR archive"},
    Mark{0, "BZh"sv, "a bzip2 archive"},
    Mark{0,
         "\xFD"
         "7zXZ"sv,
         "an xz archive"},
    Mark{0, "\x28\xB5\x2F\xFD"sv, "a zstd archive"},
    Mark{257, "ustar"sv, "a tar archive"},
    Mark{0, "%PDF-"sv, "a PDF document"},
    Mark{0, "\x89PNG"sv, "a PNG image"},
    Mark{0, "\xFF\xD8\xFF"sv, "a JPEG image"},
    Mark{0, "GIF8"sv, "a GIF image"},
    Mark{0,
         "\x7F"
         "ELF"sv,
         "a program"},
    Mark{0, "MZ\x90"sv, "a program"},
    Mark{0, "ISO-10303-21"sv, "a STEP model"},
    Mark{0, "SQLite format 3"sv, "a database"},
    Mark{0, "<?xml"sv, "an XML document"},
    Mark{0, "<!DOCTYPE"sv, "a web page"},
    Mark{0, "<html"sv, "a web page"},
    Mark{0, "<svg"sv, "an SVG drawing"},
    Mark{0, "solid "sv, "a surface model"},
};

constexpr std::string_view blanks = " \t\r\n";

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(blanks);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

bool is_coordinates(std::string_view line) {
  if (line.find_first_not_of("0123456789+-.,;()[]{}eE \t") != std::string_view::npos) return false;
  std::size_t numbers = 0;
  bool inside = false;
  for (const char c : line) {
    const bool digit = (c >= '0' && c <= '9') || c == '.';
    if (digit && !inside) ++numbers;
    inside = digit;
  }
  return numbers >= 2;
}

/// Words of three letters and more, as people write them; comments of G-code are not meant.
bool is_prose(std::string_view line) {
  if (line.front() == ';' || line.front() == '(' || line.front() == '%') return false;
  if (line.find('=') != std::string_view::npos || line.find('_') != std::string_view::npos) return false;
  std::size_t words = 0;
  std::size_t letters = 0;
  for (const char c : line.substr(0, line.find(';'))) {
    letters = std::isalpha(static_cast<unsigned char>(c)) != 0 ? letters + 1 : 0;
    if (letters == 3) ++words;
  }
  return words >= 2;
}

bool is_binary(std::string_view text) {
  const auto is_control = [](char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte < 0x20 && byte != '\t' && byte != '\n' && byte != '\r' && byte != '\f' && byte != 0x1A;
  };
  const auto controls = static_cast<std::size_t>(std::count_if(text.begin(), text.end(), is_control));
  // One in twenty: text has none, and a file with a few damaged bytes is still text.
  return controls * 20 > text.size();
}

}  // namespace

std::optional<std::string> format_by_mark(std::string_view beginning) {
  const std::string_view text = beginning.substr(std::min(beginning.find_first_not_of(blanks), beginning.size()));
  for (const Mark& mark : marks) {
    if (beginning.size() > mark.offset && beginning.substr(mark.offset, mark.bytes.size()) == mark.bytes)
      return std::string(mark.meaning);
    if (mark.bytes.front() == '<' && text.substr(0, mark.bytes.size()) == mark.bytes) return std::string(mark.meaning);
  }
  return std::nullopt;
}

std::optional<std::string> kind_of_writing(std::string_view beginning) {
  if (is_binary(beginning)) return "binary data";
  std::size_t lines = 0;
  std::size_t coordinates = 0;
  std::size_t prose = 0;
  while (!beginning.empty()) {
    const std::size_t end = beginning.find_first_of("\r\n");
    const std::string_view line = trimmed(beginning.substr(0, end));
    beginning.remove_prefix(end == std::string_view::npos ? beginning.size() : end + 1);
    if (line.empty()) continue;
    ++lines;
    if (is_coordinates(line)) ++coordinates;
    if (is_prose(line)) ++prose;
  }
  // Most of the lines: a heading or a footer may be something else.
  if (lines == 0) return "a file of blank lines";
  if (coordinates * 5 >= lines * 4) return "a list of coordinates";
  if (prose * 2 >= lines) return "text";
  return std::nullopt;
}

}  // namespace beadwise
