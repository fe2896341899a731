#include "support/hershey.hpp"

#include <cmath>
#include <cstdlib>
#include <stdexcept>

#include "support/files.hpp"

namespace beadwise::tests {

namespace {

// A number is a letter: R is 0. The base line of the capitals lies 9 units below the middle, y runs downward.
constexpr char zero = 'R';
constexpr int base_line = 9;
// Five places for the number of the glyph, three for the count of pairs, the first of which are left and right.
constexpr std::size_t count_at = 5;
constexpr std::size_t count_places = 3;
constexpr std::size_t pairs_at = count_at + count_places;

int number_of(char letter) { return letter - zero; }

/// A glyph from its pairs of letters; " R" lifts the pen.
StrokeGlyph glyph_of(std::string_view pairs) {
  StrokeGlyph glyph{number_of(pairs[0]), number_of(pairs[1]), {}};
  bool pen_up = true;
  for (std::size_t i = 2; i + 1 < pairs.size(); i += 2) {
    if (pairs[i] == ' ' && pairs[i + 1] == zero) {
      pen_up = true;
      continue;
    }
    if (pen_up) glyph.strokes.emplace_back();
    pen_up = false;
    glyph.strokes.back().push_back(
        {static_cast<double>(number_of(pairs[i])), static_cast<double>(base_line - number_of(pairs[i + 1]))});
  }
  return glyph;
}

}  // namespace

double StrokeGlyph::path_length() const {
  double length = 0;
  for (const std::vector<PlanePoint>& stroke : strokes)
    for (std::size_t i = 1; i < stroke.size(); ++i)
      length += std::hypot(stroke[i].x - stroke[i - 1].x, stroke[i].y - stroke[i - 1].y);
  return length;
}

std::filesystem::path stroke_fonts_folder() {
  const char* named = std::getenv("BEADWISE_HERSHEY");
  return named != nullptr ? named : "/usr/share/hershey-fonts";
}

StrokeFace stroke_face(const std::string& name) {
  const std::filesystem::path path = stroke_fonts_folder() / (name + ".jhf");
  StrokeFace face;
  if (!std::filesystem::is_regular_file(path)) return face;
  std::string data;
  for (const char c : read_file(path))
    if (c != '\n' && c != '\r') data += c;  // long glyphs run over several lines
  char character = ' ';
  for (std::size_t at = 0; at + pairs_at < data.size();) {
    const std::size_t letters = 2 * std::stoul(data.substr(at + count_at, count_places));
    if (at + pairs_at + letters > data.size()) throw std::runtime_error(path.string() + " is cut off");
    face[character++] = glyph_of(std::string_view(data).substr(at + pairs_at, letters));
    at += pairs_at + letters;
    if (character > '~') break;
  }
  return face;
}

}  // namespace beadwise::tests
