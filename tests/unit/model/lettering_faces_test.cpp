#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <set>
#include <string>

#include "model/lettering.hpp"
#include "support/glyph_outlines.hpp"
#include "support/hershey.hpp"
#include "support/print.hpp"
#include "support/text_setting.hpp"

using namespace beadwise;
using beadwise::tests::Dice;

namespace {

namespace tests = beadwise::tests;

/// Pieces of a text and the line that each stands in.
struct SetText {
  std::vector<GlyphPiece> pieces;
  std::vector<std::size_t> line_of;
  std::size_t lines = 0;
};

double between(Dice& dice, double low, double high) {
  constexpr std::uint64_t steps = 1U << 30U;
  return low + (high - low) * static_cast<double>(dice.roll(steps)) / static_cast<double>(steps);
}

PlanePoint plain(tests::PlanePoint place) { return {place.x, place.y}; }

/// Strokes of a glyph that touch each other are one piece.
std::vector<std::vector<PlaneSegment>> connected(const std::vector<std::vector<PlanePoint>>& strokes, double touch_mm) {
  std::vector<std::vector<PlaneSegment>> pieces;
  for (const std::vector<PlanePoint>& stroke : strokes) {
    std::vector<PlaneSegment> grown;
    for (std::size_t i = 0; i + 1 < stroke.size(); ++i) grown.push_back({stroke[i], stroke[i + 1]});
    const auto touches = [&](const std::vector<PlaneSegment>& other) {
      for (const PlaneSegment& a : grown)
        for (const PlaneSegment& b : other)
          if (squared_distance_mm2(a.from, a.to, b.from, b.to) <= touch_mm * touch_mm) return true;
      return false;
    };
    for (std::size_t k = 0; k < pieces.size();) {
      if (touches(pieces[k])) {
        grown.insert(grown.end(), pieces[k].begin(), pieces[k].end());
        pieces.erase(pieces.begin() + static_cast<std::ptrdiff_t>(k));
        k = 0;
      } else {
        ++k;
      }
    }
    pieces.push_back(grown);
  }
  return pieces;
}

SetText set_strokes(const std::string& text, const tests::StrokeFace& face, double cap_mm,
                    const tests::TextSetting& setting) {
  const double mm = cap_mm / tests::stroke_cap_height;
  const double bead_mm = std::min(0.45, 0.09 * cap_mm);
  const auto advance = [&](char c) { return (face.at(c).right - face.at(c).left) * mm; };
  SetText set;
  for (const tests::PlacedGlyph& placed : tests::set_text(text, advance, setting)) {
    const tests::StrokeGlyph& glyph = face.at(placed.character);
    std::vector<std::vector<PlanePoint>> strokes;
    for (const auto& stroke : glyph.strokes) {
      strokes.emplace_back();
      for (const tests::PlanePoint place : stroke)
        strokes.back().push_back(plain(placed.placement({(place.x - glyph.left) * mm, place.y * mm})));
    }
    for (std::vector<PlaneSegment>& lines : connected(strokes, bead_mm)) {
      GlyphPiece piece;
      for (const PlaneSegment& line : lines)
        piece.stroke_mm += std::hypot(line.to.x - line.from.x, line.to.y - line.from.y);
      piece.lines = std::move(lines);
      piece.width_mm = bead_mm;
      piece.margin_mm = bead_mm / 2;
      set.pieces.push_back(std::move(piece));
      set.line_of.push_back(placed.line);
      set.lines = std::max(set.lines, placed.line + 1);
    }
  }
  return set;
}

SetText set_outlines(const std::string& text, const tests::Face& face, double cap_mm,
                     const tests::TextSetting& setting) {
  std::map<char, tests::GlyphOutline> glyphs;
  for (const char c : text)
    if (c != '\n' && glyphs.count(c) == 0) glyphs.emplace(c, face.glyph(c, cap_mm));
  SetText set;
  for (const tests::PlacedGlyph& placed : tests::set_text(
           text, [&](char c) { return glyphs.at(c).advance_mm; }, setting)) {
    for (const tests::Area& area : placed.placement(glyphs.at(placed.character).region)) {
      GlyphPiece piece;
      std::vector<tests::Outline> loops = area.holes;
      loops.push_back(area.outer);
      double edge_mm = 0;
      for (const tests::Outline& loop : loops)
        for (std::size_t i = 0; i < loop.size(); ++i) {
          piece.lines.push_back({plain(loop[i]), plain(loop[(i + 1) % loop.size()])});
          edge_mm += std::hypot(piece.lines.back().to.x - piece.lines.back().from.x,
                                piece.lines.back().to.y - piece.lines.back().from.y);
        }
      piece.width_mm = 2 * tests::area_mm2({area}) / edge_mm;
      piece.stroke_mm = edge_mm / 2;
      set.pieces.push_back(std::move(piece));
      set.line_of.push_back(placed.line);
      set.lines = std::max(set.lines, placed.line + 1);
    }
  }
  return set;
}

/// Lines of which at least nine tenths of the pieces were found in one line, with no piece of another.
std::size_t lines_found(const SetText& set) {
  std::map<std::size_t, std::size_t> sizes;
  for (const std::size_t line : set.line_of) ++sizes[line];
  std::size_t hits = 0;
  for (const LetteringLine& line : find_lettering(set.pieces)) {
    std::set<std::size_t> of;
    for (const std::size_t piece : line.pieces) of.insert(set.line_of[piece]);
    hits += of.size() == 1 && line.pieces.size() * 10 >= sizes[*of.begin()] * 9;
  }
  return hits;
}

const std::vector<std::string> texts{
    "Orchard 7",           "BRAMLEY\nRow 12",     "Keep dry",         "Cox & Pearmain",
    "Do not lift",         "EGREMONT RUSSET",     "Water daily\n50%", "Spartan\nWorcester\nQuince",
    "Crate 25 (left)",     "Grafted 21 May 2021", "PLUM JAM",         "Hope Farm Cider",
    "Bed 4\nDiscovery M9", "Press here",          "No. 12 Laxton",    "Village orchard"};

tests::TextSetting random_setting(Dice& dice, double cap_mm) {
  tests::TextSetting setting;
  setting.at = {100, 100};
  setting.angle_deg = between(dice, 0, 360);
  setting.mirrored = dice.roll(2) == 1;
  setting.line_pitch_mm = cap_mm * between(dice, 1.6, 2.2);
  if (dice.roll(3) == 0) setting.circle_radius_mm = cap_mm * between(dice, 5, 12);
  if (dice.roll(4) == 0) setting.letter_gap_mm = cap_mm * between(dice, 0, 0.25);
  return setting;
}

}  // namespace

TEST_CASE("lettering in the stroke face of the National Bureau of Standards is found at any size and angle") {
  const tests::StrokeFace face = tests::stroke_face("rowmans");
  if (face.empty()) {
    MESSAGE("the stroke face is not installed: apt-get install hershey-fonts-data");
    return;
  }
  std::size_t asked = 0;
  std::size_t hits = 0;
  for (std::uint64_t i = 0; i < 300; ++i) {
    Dice dice(i);
    const double cap_mm = between(dice, 3, 20);
    const SetText set = set_strokes(texts[i % texts.size()], face, cap_mm, random_setting(dice, cap_mm));
    asked += set.lines;
    hits += lines_found(set);
  }
  MESSAGE(hits << " of " << asked << " lines found whole");
  CHECK(hits * 100 >= asked * 93);
}

TEST_CASE("lettering in outlined faces is found at any size and angle") {
  const std::string missing = tests::why_no_outlines();
  if (!missing.empty()) {
    MESSAGE(missing);
    return;
  }
  for (const tests::FaceFile& file : tests::known_faces()) {
    const tests::Face face(file);
    std::size_t asked = 0;
    std::size_t hits = 0;
    for (std::uint64_t i = 0; i < 64; ++i) {
      Dice dice(i + 500);
      const double cap_mm = between(dice, 3, 20);
      const SetText set = set_outlines(texts[i % texts.size()], face, cap_mm, random_setting(dice, cap_mm));
      asked += set.lines;
      hits += lines_found(set);
    }
    MESSAGE(file.name << ": " << hits << " of " << asked << " lines found whole");
    CHECK(hits * 100 >= asked * 90);
  }
}
