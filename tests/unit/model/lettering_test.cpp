#include "model/lettering.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numbers>
#include <set>
#include <string>

#include "support/near.hpp"
#include "support/print.hpp"

using namespace beadwise;
using beadwise::tests::Dice;
using beadwise::tests::near;

namespace {

constexpr double pi = std::numbers::pi;

using Stroke = std::vector<PlanePoint>;

double between(Dice& dice, double low, double high) {
  constexpr std::uint64_t steps = 1U << 30U;
  return low + (high - low) * static_cast<double>(dice.roll(steps)) / static_cast<double>(steps);
}

// A face of single strokes, capitals 6 high and small letters 4, on a grid of ours. Strokes end at a semicolon; what
// follows a bar is a piece of its own: the dot of an i.
const std::map<char, std::string>& face() {
  static const std::map<char, std::string> glyphs{
      {'A', "0,0 2,6 4,0;0.7,2 3.3,2"},
      {'B', "0,0 0,6 2.5,6 3.5,5 3.5,4 2.5,3.2 4,2 4,1 2.8,0 0,0;0,3.2 2.5,3.2"},
      {'C', "4,5 3,6 1,6 0,5 0,1 1,0 3,0 4,1"},
      {'D', "0,0 0,6 2.5,6 4,4.5 4,1.5 2.5,0 0,0"},
      {'E', "4,6 0,6 0,0 4,0;0,3 3,3"},
      {'F', "4,6 0,6 0,0;0,3 3,3"},
      {'G', "4,5 3,6 1,6 0,5 0,1 1,0 3,0 4,1 4,3 2.5,3"},
      {'H', "0,0 0,6;4,0 4,6;0,3 4,3"},
      {'I', "0,0 0,6"},
      {'K', "0,0 0,6;4,6 0,2.5;1.2,3.5 4,0"},
      {'L', "0,6 0,0 3.5,0"},
      {'M', "0,0 0,6 2.5,2 5,6 5,0"},
      {'N', "0,0 0,6 4,0 4,6"},
      {'O', "1,0 0,1 0,5 1,6 3,6 4,5 4,1 3,0 1,0"},
      {'P', "0,0 0,6 3,6 4,5 4,4 3,3 0,3"},
      {'R', "0,0 0,6 3,6 4,5 4,4 3,3 0,3;2,3 4,0"},
      {'S', "4,5 3,6 1,6 0,5 0,4 1,3 3,3 4,2 4,1 3,0 1,0 0,1"},
      {'T', "0,6 4,6;2,6 2,0"},
      {'U', "0,6 0,1 1,0 3,0 4,1 4,6"},
      {'W', "0,6 1.2,0 2.5,4 3.8,0 5,6"},
      {'X', "0,0 4,6;0,6 4,0"},
      {'1', "0.3,4.5 2,6 2,0"},
      {'2', "0,5 1,6 3,6 4,5 4,4 0,0 4,0"},
      {'3', "0,6 4,6 2,3.5 4,2 4,1 3,0 1,0 0,1"},
      {'4', "3,0 3,6 0,2 4,2"},
      {'5', "4,6 0.5,6 0,3.5 3,3.5 4,2.5 4,1 3,0 0,0"},
      {'7', "0,6 4,6 1,0"},
      {'a', "3,4 3,0;3,3 2,4 1,4 0,3 0,1 1,0 2,0 3,1"},
      {'b', "0,6 0,0;0,1 1,0 2,0 3,1 3,3 2,4 1,4 0,3"},
      {'d', "3,6 3,0;3,1 2,0 1,0 0,1 0,3 1,4 2,4 3,3"},
      {'e', "0,2 3,2 3,3 2,4 1,4 0,3 0,1 1,0 2.8,0"},
      {'f', "2.5,6 1.6,6 1,5 1,0;0,4 2.4,4"},
      {'g', "3,4 3,-1 2,-2 0.5,-2;3,3 2,4 1,4 0,3 0,1 1,0 2,0 3,1"},
      {'h', "0,0 0,6;0,3 1,4 2,4 3,3 3,0"},
      {'i', "0.5,0 0.5,4|0.5,5.4 0.5,5.8"},
      {'l', "0,0 0,6"},
      {'m', "0,0 0,4;0,3 1,4 2,3.4 2,0;2,3 3,4 4,3.4 4,0"},
      {'n', "0,0 0,4;0,3 1,4 2,4 3,3 3,0"},
      {'o', "1,0 0,1 0,3 1,4 2,4 3,3 3,1 2,0 1,0"},
      {'p', "0,4 0,-2;0,1 1,0 2,0 3,1 3,3 2,4 1,4 0,3"},
      {'r', "0,0 0,4;0,2.8 1,3.8 2.2,4"},
      {'s', "3,3.4 2,4 1,4 0,3.2 0,2.6 3,1.4 3,0.8 2,0 1,0 0,0.6"},
      {'t', "1,5.4 1,1 2,0 2.8,0;0,4 2.5,4"},
      {'u', "0,4 0,1 1,0 2,0 3,1;3,4 3,0"},
      {'=', "0,2 3,2|0,3.6 3,3.6"},
      {'%', "0,0 4,6|0,5 0.7,6 1.4,5 0.7,4 0,5|2.6,1 3.3,2 4,1 3.3,0 2.6,1"},
      {'.', "0.2,0 0.2,0.3"},
  };
  return glyphs;
}

constexpr double cap_units = 6;
constexpr double small_units = 4;

std::vector<std::vector<Stroke>> pieces_of_glyph(char letter) {
  std::vector<std::vector<Stroke>> pieces(1);
  pieces[0].emplace_back();
  const std::string& text = face().at(letter);
  for (std::size_t at = 0; at < text.size();) {
    if (text[at] == '|') {
      pieces.emplace_back();
      pieces.back().emplace_back();
      ++at;
    } else if (text[at] == ';') {
      pieces.back().emplace_back();
      ++at;
    } else if (text[at] == ' ') {
      ++at;
    } else {
      std::size_t read = 0;
      const double x = std::stod(text.substr(at), &read);
      at += read + 1;
      const double y = std::stod(text.substr(at), &read);
      at += read;
      pieces.back().back().push_back({x, y});
    }
  }
  return pieces;
}

double right_end(char letter) {
  double end = 0;
  for (const auto& piece : pieces_of_glyph(letter))
    for (const Stroke& stroke : piece)
      for (const PlanePoint place : stroke) end = std::max(end, place.x);
  return end;
}

/// How a text is set.
struct Setting {
  double cap_mm = 6;  ///< to the middle of the bead, as the strokes lie
  double angle_rad = 0;
  bool mirrored = false;
  double radius_mm = 0;  ///< of the circle that it stands on; 0 for a straight line
  bool outside = true;
  double letter_gap = 1.8;  ///< units of the face
  double word_gap = 4;
  PlanePoint start{100, 100};  ///< of a straight line; the circle's centre
  double pitch = 11;           ///< units, between lines
  bool sunk = false;           ///< holes in a plate
};

GlyphPiece stroked(const std::vector<Stroke>& strokes, double width_mm) {
  GlyphPiece piece;
  piece.width_mm = width_mm;
  piece.margin_mm = width_mm / 2;
  for (const Stroke& stroke : strokes)
    for (std::size_t i = 0; i + 1 < stroke.size(); ++i) {
      piece.lines.push_back({stroke[i], stroke[i + 1]});
      piece.stroke_mm += std::hypot(stroke[i + 1].x - stroke[i].x, stroke[i + 1].y - stroke[i].y);
    }
  return piece;
}

/// A region from its outlines; its thickness and length are those of a strip with its area and edge.
GlyphPiece outlined(const std::vector<Stroke>& loops, bool hole = false) {
  GlyphPiece piece;
  piece.hole = hole;
  double area_mm2 = 0;
  double edge_mm = 0;
  for (std::size_t k = 0; k < loops.size(); ++k) {
    double twice = 0;
    for (std::size_t i = 0; i < loops[k].size(); ++i) {
      const PlanePoint a = loops[k][i];
      const PlanePoint b = loops[k][(i + 1) % loops[k].size()];
      piece.lines.push_back({a, b});
      edge_mm += std::hypot(b.x - a.x, b.y - a.y);
      twice += a.x * b.y - a.y * b.x;
    }
    area_mm2 += (k == 0 ? 1 : -1) * std::abs(twice) / 2;
  }
  piece.width_mm = 2 * area_mm2 / edge_mm;
  piece.stroke_mm = edge_mm / 2;
  return piece;
}

PlanePoint turned(PlanePoint place, double angle_rad) {
  const double c = std::cos(angle_rad);
  const double s = std::sin(angle_rad);
  return {place.x * c - place.y * s, place.x * s + place.y * c};
}

GlyphPiece moved(GlyphPiece piece, double angle_rad, PlanePoint by) {
  for (PlaneSegment& line : piece.lines)
    for (PlanePoint* place : {&line.from, &line.to}) {
      *place = turned(*place, angle_rad);
      *place = {place->x + by.x, place->y + by.y};
    }
  return piece;
}

double length_units(const std::string& text, const Setting& setting) {
  double length = 0;
  for (const char letter : text) length += letter == ' ' ? setting.word_gap : right_end(letter) + setting.letter_gap;
  return length - setting.letter_gap;
}

/// Sets lines of text under each other; `line_of`, where given, gets the line of each piece.
std::vector<GlyphPiece> set(const std::vector<std::string>& lines, const Setting& setting,
                            std::vector<int>* line_of = nullptr) {
  std::vector<GlyphPiece> pieces;
  const double mm = setting.cap_mm / cap_units;
  const double bead_mm = std::min(0.45, 0.1 * setting.cap_mm);
  for (std::size_t row = 0; row < lines.size(); ++row) {
    const double length = length_units(lines[row], setting);
    double at = 0;
    for (const char letter : lines[row]) {
      if (letter == ' ') {
        at += setting.word_gap;
        continue;
      }
      const double half = right_end(letter) / 2;
      const double down = setting.pitch * static_cast<double>(row);
      const auto placed = [&](PlanePoint unit) {
        PlanePoint place{(at + unit.x) * mm, (unit.y - down) * mm};
        if (setting.radius_mm > 0) {
          const double base_mm = setting.radius_mm + (setting.outside ? -down : down) * mm;
          const double turn = (at + half - length / 2) * mm / base_mm;
          const double x = (unit.x - half) * mm;
          const double y = unit.y * mm;
          place = setting.outside ? turned({x, base_mm + y}, -turn) : turned({x, y - base_mm}, turn);
        }
        if (setting.mirrored) place.x = -place.x;
        place = turned(place, setting.angle_rad);
        return PlanePoint{setting.start.x + place.x, setting.start.y + place.y};
      };
      for (std::vector<Stroke> piece : pieces_of_glyph(letter)) {
        for (Stroke& stroke : piece)
          for (PlanePoint& place : stroke) place = placed(place);
        pieces.push_back(stroked(piece, bead_mm));
        pieces.back().hole = setting.sunk;
        if (line_of != nullptr) line_of->push_back(static_cast<int>(row));
      }
      at += 2 * half + setting.letter_gap;
    }
  }
  return pieces;
}

std::vector<LetteringLine> lettering_of(const std::vector<std::string>& lines, const Setting& setting) {
  return find_lettering(set(lines, setting));
}

/// Lines of which at least nine tenths of the pieces were found in one line, with no piece of another.
std::size_t lines_found(const std::vector<LetteringLine>& found, const std::vector<int>& line_of) {
  std::map<int, std::size_t> sizes;
  for (const int line : line_of) ++sizes[line];
  std::size_t hits = 0;
  for (const LetteringLine& line : found) {
    std::set<int> of;
    for (const std::size_t piece : line.pieces) of.insert(line_of[piece]);
    hits += of.size() == 1 && line.pieces.size() * 10 >= sizes[*of.begin()] * 9;
  }
  return hits;
}

const std::vector<std::string> words{"ORCHARD",   "BED 4",       "GRAFT",      "Quince 7", "RUSSET 25", "Hope Farm",
                                     "Cider 12",  "HAND ON TOP", "Spartan 13", "Crate 4",  "WATER",     "Apple Tag",
                                     "Pear tree", "no ladder",   "SPRING 31",  "Laxton 5"};

/// A text of `words` that the face can set.
std::string word(Dice& dice) {
  for (;;) {
    const std::string& text = words[dice.roll(words.size())];
    if (std::all_of(text.begin(), text.end(), [](char c) { return c == ' ' || face().count(c) != 0; })) return text;
  }
}

Stroke circle(PlanePoint middle, double radius_mm, int corners = 32) {
  Stroke loop;
  for (int i = 0; i < corners; ++i) {
    const double turn = 2 * pi * i / corners;
    loop.push_back({middle.x + radius_mm * std::cos(turn), middle.y + radius_mm * std::sin(turn)});
  }
  return loop;
}

Stroke box(PlanePoint low, double width_mm, double depth_mm) {
  return {low, {low.x + width_mm, low.y}, {low.x + width_mm, low.y + depth_mm}, {low.x, low.y + depth_mm}};
}

Stroke arc(double radius_mm, double from_rad, double to_rad) {
  Stroke stroke;
  constexpr int parts = 16;
  for (int i = 0; i <= parts; ++i) {
    const double turn = from_rad + (to_rad - from_rad) * i / parts;
    stroke.push_back({radius_mm * std::cos(turn), radius_mm * std::sin(turn)});
  }
  return stroke;
}

/// A slender thing about `size_mm` large, round the origin: a clip, a hook, a sleeve, a scribble.
GlyphPiece slender_thing(Dice& dice, double size_mm, double width_mm) {
  const auto part = [&](double low, double high) { return size_mm * between(dice, low, high); };
  const double half = size_mm / 2;
  switch (dice.roll(7)) {
    case 0:
      return stroked({{{-half, half}, {-part(0.2, 0.5), -half}, {part(0.2, 0.5), -half}}}, width_mm);
    case 1:
      return stroked({{{-half, half}, {half, half}}, {{part(-0.3, 0.3), half}, {0, -part(0.3, 0.6)}}}, width_mm);
    case 2:
      return stroked({arc(half, between(dice, 0, 6), between(dice, 3, 6))}, width_mm);
    case 3:
      return stroked({{{-half, half}, {-half, -half}, {part(0.1, 0.5), -half}, {part(0.1, 0.5), half}}}, width_mm);
    case 4:
      return outlined({circle({}, half), circle({}, half - width_mm)});
    case 5:
      return stroked({{{0, -half}, {part(-0.1, 0.1), half}}}, width_mm);
    default: {
      Stroke scribble;
      for (std::uint64_t i = 0; i < 4; ++i) scribble.push_back({part(-0.5, 0.5), part(-0.5, 0.5)});
      return stroked({scribble}, width_mm);
    }
  }
}

bool keeps_clear(const std::vector<GlyphPiece>& pieces, const GlyphPiece& other) {
  for (const GlyphPiece& piece : pieces)
    for (const PlaneSegment& a : piece.lines)
      for (const PlaneSegment& b : other.lines) {
        const double clear_mm = piece.margin_mm + other.margin_mm + 0.2;
        if (squared_distance_mm2(a.from, a.to, b.from, b.to) < clear_mm * clear_mm) return false;
      }
  return true;
}

/// In how many of `count` random scenes some lettering is found.
template <class Scene>
int false_alarms(int count, Scene&& scene) {
  int alarms = 0;
  for (int i = 0; i < count; ++i) {
    Dice dice(static_cast<std::uint64_t>(i) * 7919 + 11);
    alarms += find_lettering(scene(dice)).empty() ? 0 : 1;
  }
  return alarms;
}

}  // namespace

TEST_CASE("a straight line of capitals is named with its height, place, angle and glyphs") {
  Setting setting;
  setting.cap_mm = 6;
  const std::vector<LetteringLine> lines = lettering_of({"HAND"}, setting);
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].pieces == std::vector<std::size_t>{0, 1, 2, 3});
  CHECK(lines[0].glyphs == 4);
  // From the lower edge of the beads at 0 to the upper edge of those at 6 mm.
  CHECK(near(lines[0].height_mm, 6.45, 0.01));
  CHECK(near(lines[0].stroke_width_mm, 0.45, 1e-9));
  CHECK(near(lines[0].angle_deg, 0, 0.1));
  CHECK(!lines[0].curved);
  CHECK(lines[0].radius_mm == 0);
  CHECK(near(std::abs(lines[0].to_mm.x - lines[0].from_mm.x), length_units("HAND", setting) + 0.45, 0.01));
}

TEST_CASE("the height is that of capitals or ascenders where there are any, else of small letters") {
  const double bead_mm = 0.45;
  const auto height = [](const std::string& text) {
    Setting setting;
    setting.cap_mm = 6;
    const std::vector<LetteringLine> lines = lettering_of({text}, setting);
    return lines.size() == 1 ? lines[0].height_mm : 0.0;
  };
  CHECK(near(height("GRAFT"), cap_units + bead_mm, 0.02));
  CHECK(near(height("summer"), small_units + bead_mm, 0.02));
  CHECK(near(height("handheld"), cap_units + bead_mm, 0.02));
  CHECK(near(height("Summer"), cap_units + bead_mm, 0.02));
}

TEST_CASE("a dot, two bars and a per cent sign are one glyph each") {
  const auto glyphs = [](const std::string& text) {
    const std::vector<LetteringLine> lines = lettering_of({text}, {});
    return lines.size() == 1 ? lines[0].glyphs : 0;
  };
  CHECK(glyphs("Cider") == 5);
  CHECK(glyphs("PH=35") == 5);
  CHECK(glyphs("RH 25%") == 5);
  CHECK(glyphs("BED.") == 4);
}

TEST_CASE("words are one line while the space is ordinary, else two") {
  Setting setting;
  CHECK(lettering_of({"CRATE GRAFT"}, setting).size() == 1);
  setting.word_gap = 5 * cap_units;
  const std::vector<LetteringLine> apart = lettering_of({"CRATE GRAFT"}, setting);
  REQUIRE(apart.size() == 2);
  CHECK(apart[0].pieces.size() == 5);
  CHECK(apart[1].pieces.size() == 5);
}

TEST_CASE("lines under each other are lines of their own") {
  Setting setting;
  setting.angle_rad = 0.4;
  std::vector<int> line_of;
  const std::vector<GlyphPiece> pieces = set({"Spring graft", "BED 15", "no ladder", "Pear 7"}, setting, &line_of);
  const std::vector<LetteringLine> lines = find_lettering(pieces);
  REQUIRE(lines.size() == 4);
  CHECK(lines_found(lines, line_of) == 4);
  for (const LetteringLine& line : lines) CHECK(near(line.angle_deg, 0.4 * 180 / pi, 1));
}

TEST_CASE("a short number beside a line of lettering belongs to the lettering, on its own it is too little") {
  Setting setting;
  CHECK(lettering_of({"11"}, setting).empty());
  std::vector<int> line_of;
  const std::vector<GlyphPiece> pieces = set({"GRAFTED", "25"}, setting, &line_of);
  CHECK(lines_found(find_lettering(pieces), line_of) == 2);
}

TEST_CASE("lettering on a circle, outside and inside, has the circle's radius and centre") {
  for (const bool outside : {true, false}) {
    Setting setting;
    setting.cap_mm = 5;
    setting.radius_mm = 25;
    setting.outside = outside;
    setting.angle_rad = 1.1;
    std::vector<int> line_of;
    const std::vector<GlyphPiece> pieces = set({"SPRING ORCHARD"}, setting, &line_of);
    const std::vector<LetteringLine> lines = find_lettering(pieces);
    CAPTURE(outside);
    REQUIRE(lines.size() == 1);
    CHECK(lines_found(lines, line_of) == 1);
    CHECK(lines[0].curved);
    CHECK(near(lines[0].center_mm.x, 100, 0.5));
    CHECK(near(lines[0].center_mm.y, 100, 0.5));
    // The line may be taken at the letters' heads: capitals look the same upside down.
    const double head_mm = 25 + (outside ? 5 : -5);
    CHECK((near(lines[0].radius_mm, 25, 0.8) || near(lines[0].radius_mm, head_mm, 0.8)));
    CHECK(near(lines[0].height_mm, 5.45, 0.15));
  }
}

TEST_CASE("two rings of lettering about one centre are two lines") {
  Setting setting;
  setting.cap_mm = 4;
  setting.radius_mm = 32;
  std::vector<int> line_of;
  const std::vector<GlyphPiece> pieces = set({"ORCHARD SPRING GRAFT", "CRATE HAND"}, setting, &line_of);
  const std::vector<LetteringLine> lines = find_lettering(pieces);
  REQUIRE(lines.size() == 2);
  CHECK(lines_found(lines, line_of) == 2);
}

TEST_CASE("sunk lettering is found among holes, and islands never share a line with holes") {
  Setting sunk;
  sunk.sunk = true;
  CHECK(lettering_of({"GRAFTED"}, sunk).size() == 1);
  std::vector<GlyphPiece> mixed = set({"GRAFTED"}, {});
  for (std::size_t i = 0; i < mixed.size(); i += 2) mixed[i].hole = true;
  for (const LetteringLine& line : find_lettering(mixed))
    for (const std::size_t piece : line.pieces) CHECK(mixed[piece].hole == mixed[line.pieces[0]].hole);
}

TEST_CASE("a letter that the slicer broke in two leaves the line whole") {
  std::vector<GlyphPiece> pieces = set({"GRAFTED"}, {});
  // The bar of the F is dropped from its stem: stem and bar are two pieces.
  GlyphPiece bar = pieces[3];
  bar.lines = {pieces[3].lines.back()};
  bar.lines[0].from.x += 1;
  bar.stroke_mm = 2;
  pieces[3].lines.pop_back();
  pieces[3].stroke_mm -= 3;
  pieces.push_back(bar);
  const std::vector<LetteringLine> lines = find_lettering(pieces);
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].pieces.size() == 8);
}

TEST_CASE("letters that run together are one piece of the line") {
  std::vector<GlyphPiece> pieces = set({"ORCHARD"}, {});
  pieces[2].lines.insert(pieces[2].lines.end(), pieces[3].lines.begin(), pieces[3].lines.end());
  pieces[2].stroke_mm += pieces[3].stroke_mm;
  pieces.erase(pieces.begin() + 3);
  const std::vector<LetteringLine> lines = find_lettering(pieces);
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].pieces.size() == 6);
}

TEST_CASE("lettering turned, mirrored and enlarged gives the same figures as straight lettering") {
  Setting plain;
  const LetteringLine straight = lettering_of({"SPRING 31"}, plain).at(0);
  Dice dice(5);
  for (int i = 0; i < 50; ++i) {
    Setting setting;
    const double factor = between(dice, 0.75, 3);  // beads 0.45 mm wide throughout
    setting.cap_mm = 6 * factor;
    setting.angle_rad = between(dice, 0, 2 * pi);
    setting.mirrored = dice.roll(2) == 1;
    const std::vector<LetteringLine> lines = lettering_of({"SPRING 31"}, setting);
    REQUIRE(lines.size() == 1);
    CHECK(lines[0].glyphs == straight.glyphs);
    CHECK(near(lines[0].height_mm - 0.45, (straight.height_mm - 0.45) * factor, 0.03 * factor));
    CHECK(near(std::remainder(lines[0].angle_deg - setting.angle_rad * 180 / pi, 180), 0, 1));
  }
}

TEST_CASE("the order in which pieces are given tells nothing") {
  std::vector<int> line_of;
  const std::vector<GlyphPiece> pieces = set({"Spring graft", "BED 15", "no ladder"}, {}, &line_of);
  std::vector<std::size_t> order(pieces.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  Dice dice(3);
  for (std::size_t i = order.size(); i > 1; --i) std::swap(order[i - 1], order[dice.roll(i)]);
  std::vector<GlyphPiece> shuffled;
  for (const std::size_t i : order) shuffled.push_back(pieces[i]);
  std::set<std::set<std::size_t>> before;
  std::set<std::set<std::size_t>> after;
  for (const LetteringLine& line : find_lettering(pieces)) before.emplace(line.pieces.begin(), line.pieces.end());
  for (const LetteringLine& line : find_lettering(shuffled)) {
    std::set<std::size_t> set;
    for (const std::size_t piece : line.pieces) set.insert(order[piece]);
    after.insert(set);
  }
  CHECK(before.size() == 3);
  CHECK(before == after);
}

TEST_CASE("nothing comes of nothing, of pieces without lines and of beads without a width") {
  CHECK(find_lettering({}).empty());
  CHECK(find_lettering(std::vector<GlyphPiece>(5)).empty());
  std::vector<GlyphPiece> pieces = set({"GRAFTED"}, {});
  for (GlyphPiece& piece : pieces) piece.width_mm = std::numeric_limits<double>::quiet_NaN();
  CHECK(find_lettering(pieces).empty());
  for (GlyphPiece& piece : pieces) piece.margin_mm = std::numeric_limits<double>::quiet_NaN();
  CHECK(find_lettering(pieces).empty());
}

TEST_CASE("random settings of one line, 3 to 20 mm high: nearly all are found whole") {
  std::size_t asked = 0;
  std::size_t hits = 0;
  for (std::uint64_t i = 0; i < 400; ++i) {
    Dice dice(i + 1);
    Setting setting;
    setting.cap_mm = between(dice, 3, 20);
    setting.angle_rad = between(dice, 0, 2 * pi);
    setting.mirrored = dice.roll(2) == 1;
    setting.letter_gap = between(dice, 1.2, 2.6);
    const std::string text = word(dice);
    if (dice.roll(3) == 0) {
      setting.outside = dice.roll(2) == 1;
      setting.radius_mm = std::max(4 * setting.cap_mm, length_units(text, setting) * setting.cap_mm / cap_units / 5);
    }
    std::vector<int> line_of;
    const std::vector<GlyphPiece> pieces = set({text}, setting, &line_of);
    ++asked;
    hits += lines_found(find_lettering(pieces), line_of);
  }
  MESSAGE(hits << " of " << asked << " lines found whole");
  CHECK(hits * 100 >= asked * 93);
}

TEST_CASE("random settings of several lines: nearly all are found, each as its own") {
  std::size_t asked = 0;
  std::size_t hits = 0;
  for (std::uint64_t i = 0; i < 150; ++i) {
    Dice dice(i + 1000);
    Setting setting;
    setting.cap_mm = between(dice, 3, 20);
    setting.angle_rad = between(dice, 0, 2 * pi);
    setting.mirrored = dice.roll(2) == 1;
    setting.pitch = between(dice, 9.5, 13);
    std::vector<std::string> lines;
    for (std::uint64_t k = 2 + dice.roll(4); k > 0; --k) lines.push_back(word(dice));
    std::vector<int> line_of;
    const std::vector<GlyphPiece> pieces = set(lines, setting, &line_of);
    asked += lines.size();
    hits += lines_found(find_lettering(pieces), line_of);
  }
  MESSAGE(hits << " of " << asked << " lines found whole");
  CHECK(hits * 100 >= asked * 93);
}

TEST_CASE("copies of one thing are no lettering: grids, rows, rings of them, in turns too") {
  CHECK(false_alarms(100, [](Dice& dice) {
          const GlyphPiece one = slender_thing(dice, 6, between(dice, 0.4, 1.2));
          const GlyphPiece two = slender_thing(dice, 6, between(dice, 0.4, 1.2));
          const bool turns = dice.roll(2) == 1;
          const double pitch_mm = between(dice, 7, 11);
          std::vector<GlyphPiece> pieces;
          const std::uint64_t rows = 1 + dice.roll(8);
          for (std::uint64_t y = 0; y < rows; ++y)
            for (std::uint64_t x = 0; x < 9; ++x)
              pieces.push_back(moved(turns && x % 2 == 1 ? two : one, 0,
                                     {pitch_mm * static_cast<double>(x), 9 * static_cast<double>(y)}));
          return pieces;
        }) == 0);
  CHECK(false_alarms(100, [](Dice& dice) {
          const GlyphPiece tooth = slender_thing(dice, 5, 0.8);
          const std::uint64_t count = 6 + dice.roll(24);
          const double radius_mm = static_cast<double>(count) * between(dice, 6, 9) / (2 * pi);
          std::vector<GlyphPiece> pieces;
          for (std::uint64_t i = 0; i < count; ++i) {
            const double turn = 2 * pi * static_cast<double>(i) / static_cast<double>(count);
            pieces.push_back(moved(tooth, turn, turned({radius_mm, 0}, turn)));
          }
          return pieces;
        }) == 0);
}

TEST_CASE("holes, screw heads and bosses are no lettering") {
  CHECK(false_alarms(100, [](Dice& dice) {
          std::vector<GlyphPiece> pieces;
          const double radius_mm = between(dice, 1, 4);
          const bool hole = dice.roll(2) == 1;
          for (int y = 0; y < 4; ++y)
            for (int x = 0; x < 6; ++x) {
              const PlanePoint at{x * 3 * radius_mm, y * 3 * radius_mm};
              const GlyphPiece ring = outlined({circle(at, radius_mm)}, hole);
              const GlyphPiece sleeve = outlined({circle(at, radius_mm), circle(at, radius_mm - 0.5)});
              pieces.push_back(hole ? ring : sleeve);
              if (hole) continue;
              // A slot or a cross, turned as the screw stopped.
              std::vector<Stroke> slot{{{-0.5 * radius_mm, 0}, {0.5 * radius_mm, 0}}};
              if (dice.roll(2) == 1) slot.push_back({{0, -0.5 * radius_mm}, {0, 0.5 * radius_mm}});
              pieces.push_back(moved(stroked(slot, 0.4), between(dice, 0, 3), at));
            }
          return pieces;
        }) == 0);
  CHECK(false_alarms(100, [](Dice& dice) {
          std::vector<GlyphPiece> pieces;  // a thread's flank makes the wall of a boss thick on one side
          for (int i = 0; i < 8; ++i) {
            const double start = between(dice, 0, 2 * pi);
            Stroke flank;
            for (int k = 0; k < 48; ++k) {
              const double turn = 2 * pi * k / 48;
              const double radius_mm = 5 * (1 - 0.12 * std::abs(std::remainder(turn - start, 2 * pi)) / pi);
              flank.push_back(turned({radius_mm, 0}, turn));
            }
            pieces.push_back(moved(outlined({flank, circle({}, 3)}), 0, {(i % 4) * 12.0, (i / 4) * 12.0}));
          }
          return pieces;
        }) == 0);
}

TEST_CASE("rings in each other, grilles, combs and voids of a lattice are no lettering") {
  CHECK(false_alarms(60, [](Dice& dice) {
          std::vector<GlyphPiece> pieces;
          const double step_mm = between(dice, 2, 6);
          for (int i = 1; i <= 7; ++i) {
            pieces.push_back(outlined({circle({}, step_mm * i, 64), circle({}, step_mm * i - 0.8, 64)}));
            pieces.push_back(stroked({arc(step_mm * (i + 0.5), between(dice, 0, 6), between(dice, 0, 6))}, 0.45));
          }
          return pieces;
        }) == 0);
  CHECK(false_alarms(60, [](Dice& dice) {
          std::vector<GlyphPiece> pieces;  // bars of widths from 0.15 to 1.2 mm
          double at_mm = 0;
          for (int i = 0; i < 12; ++i) {
            const double width_mm = between(dice, 0.15, 1.2);
            pieces.push_back(outlined({box({at_mm, 0}, width_mm, 8)}));
            at_mm += width_mm + between(dice, 0.5, 3);
          }
          return pieces;
        }) == 0);
  CHECK(false_alarms(60, [](Dice& dice) {
          std::vector<GlyphPiece> pieces;  // slots of a round grille, each as long as the circle lets it be
          const double slot_mm = between(dice, 1, 3);
          for (double y = -20; y < 20; y += 2 * slot_mm) {
            const double half_mm = std::sqrt(400 - y * y) - 1;
            const int parts = 1 + static_cast<int>(dice.roll(3));
            for (int i = 0; i < parts; ++i)
              pieces.push_back(
                  outlined({box({-half_mm + 2 * half_mm * i / parts, y}, 2 * half_mm / parts - 1.2, slot_mm)}, true));
          }
          return pieces;
        }) == 0);
  CHECK(false_alarms(60, [](Dice& dice) {
          std::vector<GlyphPiece> pieces;  // triangles between the walls of an infill, cut off by a slanting rim
          const double side_mm = between(dice, 3, 9);
          const double slope = between(dice, -0.5, 0.5);
          for (int y = 0; y < 8; ++y)
            for (int x = 0; x < 10; ++x) {
              const double left = x * side_mm;
              const double top = std::min((y + 0.85) * side_mm, 5 * side_mm + slope * left);
              const double low = (y + 0.1) * side_mm;
              if (top - low < 1) continue;
              const double lean = side_mm * 0.4 * (top - low) / (0.75 * side_mm);
              pieces.push_back(outlined(
                  {{{left, low}, {left + 0.8 * side_mm, low}, {left + 0.8 * side_mm - lean, top}, {left + lean, top}}},
                  true));
            }
          return pieces;
        }) == 0);
}

TEST_CASE("tree-like supports, knurls and square mazes are no lettering") {
  CHECK(false_alarms(100, [](Dice& dice) {
          std::vector<GlyphPiece> pieces;
          for (int i = 0; i < 40; ++i) {
            const double radius_mm = between(dice, 0.8, 3);
            const PlanePoint at{between(dice, 0, 45), between(dice, 0, 45)};
            GlyphPiece branch = outlined({circle({}, radius_mm, 24), circle({}, radius_mm - 0.45, 24)});
            if (dice.roll(3) == 0)  // two that have grown together
              branch = stroked({circle({}, radius_mm, 24), circle({1.6 * radius_mm, 0}, 0.8 * radius_mm, 24)}, 0.45);
            branch = moved(branch, between(dice, 0, 6), at);
            if (keeps_clear(pieces, branch)) pieces.push_back(branch);
          }
          return pieces;
        }) <= 1);
  CHECK(false_alarms(60, [](Dice& dice) {
          std::vector<GlyphPiece> pieces;
          const double radius_mm = between(dice, 10, 25);
          for (int i = 0; i < 60; ++i) {
            const double turn = 2 * pi * i / 60;
            const GlyphPiece dash = stroked({{{-0.8, 0}, {0.8, 0}}}, 0.45);
            pieces.push_back(moved(dash, turn + (i % 2 == 0 ? 0.5 : -0.5), turned({radius_mm, 0}, turn)));
          }
          return pieces;
        }) == 0);
}

TEST_CASE("clips in a row on the plate are no lettering where they are copies or blocks") {
  CHECK(false_alarms(60, [](Dice& dice) {
          const GlyphPiece clip = slender_thing(dice, 25, between(dice, 1.2, 4));
          std::vector<GlyphPiece> pieces;
          for (int i = 0; i < 6; ++i) pieces.push_back(moved(clip, dice.roll(2) == 1 ? pi : 0, {i * 30.0, 0}));
          return pieces;
        }) == 0);
  CHECK(false_alarms(60, [](Dice& dice) {
          std::vector<GlyphPiece> pieces;  // tags, all different, one beside the other
          for (int i = 0; i < 6; ++i)
            pieces.push_back(outlined({box({i * 32.0, 0}, between(dice, 12, 28), between(dice, 15, 20))}));
          return pieces;
        }) == 0);
}

TEST_CASE("slender things strewn at random seldom make a line") {
  const int alarms = false_alarms(300, [](Dice& dice) {
    std::vector<GlyphPiece> pieces;
    const double size_mm = between(dice, 3, 20);
    const double width_mm = between(dice, 0.06, 0.15) * size_mm;
    const bool square = dice.roll(2) == 1;
    for (int i = 0; i < 40; ++i) {
      const double turn = square ? pi / 2 * static_cast<double>(dice.roll(4)) : between(dice, 0, 2 * pi);
      const PlanePoint at{size_mm * between(dice, 0, 9), size_mm * between(dice, 0, 9)};
      const GlyphPiece thing = moved(slender_thing(dice, size_mm * between(dice, 0.7, 1.1), width_mm), turn, at);
      if (keeps_clear(pieces, thing)) pieces.push_back(thing);
    }
    return pieces;
  });
  MESSAGE(alarms << " of 300 scenes with a line");
  CHECK(alarms <= 3);
}

TEST_CASE("lettering is found among holes, a frame and supports") {
  std::vector<GlyphPiece> pieces = set({"Spring graft", "BED 15"}, {});
  const std::size_t letters = pieces.size();
  pieces.push_back(outlined({box({90, 70}, 90, 45), box({92, 72}, 86, 41)}));
  for (int i = 0; i < 12; ++i) pieces.push_back(outlined({circle({95.0 + 7 * i, 75}, 1.5)}, true));
  for (int i = 0; i < 12; ++i)
    pieces.push_back(outlined({circle({95.0 + 7 * i, 60}, 2), circle({95.0 + 7 * i, 60}, 1.5)}));
  const std::vector<LetteringLine> lines = find_lettering(pieces);
  REQUIRE(lines.size() == 2);
  for (const LetteringLine& line : lines)
    for (const std::size_t piece : line.pieces) CHECK(piece < letters);
}
