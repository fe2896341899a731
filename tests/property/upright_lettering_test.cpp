// Letters on upright faces, in whole prints: texts of the orchard's bench in free faces read by FreeType, made of
// layers and laid as walls. What is expected comes from the outlines, cut by level lines in tests/support, not from the
// check.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "beadwise/analyse.hpp"
#include "support/glyph_outlines.hpp"
#include "support/letter_plates.hpp"
#include "support/near.hpp"
#include "support/text_setting.hpp"

using namespace beadwise;
using beadwise::tests::FaceSetting;
using beadwise::tests::near;
using beadwise::tests::Region;

namespace {

namespace tests = beadwise::tests;

constexpr std::string_view label = "Plum 42";
constexpr double bead_mm = 0.4;

std::vector<Finding> judged(const std::string& gcode, std::vector<std::string> sets = {}) {
  AnalyseOptions options;
  options.only = {"thin-stroke"};
  options.sets = std::move(sets);
  options.sets.push_back("machine.nozzle_diameter_mm=0.4");
  return analyse(Source::memory("label.gcode", gcode), options).findings;
}

std::vector<Region> letters_of(const tests::Face& face, double cap_mm) {
  const auto advance_mm = [&](char character) { return face.glyph(character, cap_mm).advance_mm; };
  std::vector<Region> letters;
  for (const tests::PlacedGlyph& glyph : tests::set_text(label, advance_mm, {.at = {0, 3}}))
    letters.push_back(glyph.placement(face.glyph(glyph.character, cap_mm).region));
  return letters;
}

std::string body(const std::vector<Region>& letters, const FaceSetting& setting, bool comments = true) {
  return letter_gcode(tests::lettered_body(letters, setting), {.comments = comments});
}

/// How wide an l is at half of its height: the stem of a face.
double stem_mm(const tests::Face& face, double cap_mm) {
  const std::vector<double> crossed = tests::crossings(face.glyph('l', cap_mm).region, cap_mm / 2);
  return crossed.at(1) - crossed.at(0);
}

bool is_upright(const Finding& finding) { return finding.what.find("on an upright face") != std::string::npos; }

bool missing() {
  const std::string why = tests::why_no_outlines();
  if (!why.empty()) MESSAGE("skipped: ", why);
  return !why.empty();
}

}  // namespace

TEST_CASE("every line of letters on a wall whose stems are laid is found, 3 to 12 mm high, 0.2 to 1 mm deep") {
  if (missing()) return;
  int expected = 0;
  int found = 0;
  for (const tests::FaceFile& file : tests::known_faces()) {
    const tests::Face face(file);
    for (const double cap_mm : {3.0, 4.0, 6.0, 12.0})
      for (const double relief_mm : {0.2, 1.0})
        for (const bool sunk : {false, true}) {
          // A raised stem hardly wider than the bead is left out of the wall by whoever slices it.
          const bool laid = sunk || stem_mm(face, cap_mm) >= 1.1 * bead_mm;
          const FaceSetting setting{.relief_mm = relief_mm, .sunk = sunk, .turn_deg = 25 * cap_mm};
          // Whatever is found is told of where the relief is asked to be deeper than any.
          const auto findings = judged(body(letters_of(face, cap_mm), setting), {"checks.thin-stroke.relief_mm=5"});
          const bool told = std::count_if(findings.begin(), findings.end(), is_upright) == 1;
          CAPTURE(file.name);
          CAPTURE(cap_mm);
          CAPTURE(relief_mm);
          CAPTURE(sunk);
          if (!laid) continue;
          ++expected;
          found += told;
          CHECK(told);
        }
  }
  MESSAGE(found, " of ", expected, " lines of letters found on walls");
}

TEST_CASE("a wall's letters in a plain face of 8 mm are not told of; their relief is, where it is shallow") {
  if (missing()) return;
  const std::vector<Region> letters = letters_of(tests::Face(tests::known_faces().at(0)), 8);
  for (const bool sunk : {false, true}) {
    CHECK(judged(body(letters, {.relief_mm = 0.5, .sunk = sunk, .turn_deg = 40})).empty());
    const auto shallow = judged(body(letters, {.relief_mm = 0.12, .sunk = sunk, .turn_deg = 40}));
    REQUIRE(shallow.size() == 1);
    CHECK(shallow[0].severity == Severity::warning);
    CHECK(near(shallow[0].measured->value, 0.12, 0.01));
  }
}

TEST_CASE("hairlines of one layer are warned of, with comments and without, at any angle of the face") {
  if (missing()) return;
  const std::vector<Region> letters = letters_of(tests::Face(tests::known_faces().at(2)), 7);
  std::string first_why;
  for (const double turn_deg : {0.0, 90.0, 200.0})
    for (const bool comments : {false, true}) {
      const auto findings = judged(body(letters, {.relief_mm = 0.6, .turn_deg = turn_deg}, comments));
      REQUIRE(findings.size() == 1);
      CHECK(is_upright(findings[0]));
      CHECK(findings[0].severity == Severity::warning);
      CHECK(findings[0].measured->unit == "layers");
      CHECK(findings[0].measured->value == 1);
      // The places lie in the layers of the letters, 7 mm above 3 mm, and in front of the body.
      CHECK(findings[0].places.low(2) >= 2);
      CHECK(findings[0].places.high(2) <= 10.5);
      CHECK(!findings[0].marks.empty());
      if (first_why.empty()) first_why = findings[0].why;
      CHECK(findings[0].why == first_why);
    }
}

TEST_CASE("twice as large, or in layers of half the height, the letters are told of less") {
  if (missing()) return;
  const tests::Face face(tests::known_faces().at(2));
  CHECK(judged(body(letters_of(face, 15), {.relief_mm = 0.6, .sunk = true})).empty());
  const auto coarse = judged(body(letters_of(face, 7), {.relief_mm = 0.6, .sunk = true}));
  REQUIRE(coarse.size() == 1);
  CHECK(coarse[0].severity == Severity::warning);
}
