// The check `thin-stroke` on whole prints: texts of the orchard's bench in free faces read by FreeType and in Hershey's
// stroke font (data of the U.S. National Bureau of Standards), laid bead by bead. What each letter's narrowest stroke
// is comes from the medial axis of the union of its beads (Boost.Polygon, GEOS), not from the check.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "beadwise/analyse.hpp"
#include "support/glyph_outlines.hpp"
#include "support/hershey.hpp"
#include "support/letter_plates.hpp"
#include "support/medial_axis.hpp"
#include "support/text_setting.hpp"

using namespace beadwise;
using tests::PlanePoint;

namespace {

FileReport judged(const std::string& gcode) {
  AnalyseOptions options;
  options.only = {"thin-stroke"};
  options.sets = {"machine.nozzle_diameter_mm=0.4"};
  return analyse(Source::memory("label.gcode", gcode), options);
}

std::vector<tests::Region> letters_of(const tests::Face& face, std::string_view text, double cap_height_mm,
                                      const tests::TextSetting& setting) {
  const auto advance_mm = [&](char character) { return face.glyph(character, cap_height_mm).advance_mm; };
  std::vector<tests::Region> letters;
  for (const tests::PlacedGlyph& glyph : tests::set_text(text, advance_mm, setting))
    letters.push_back(glyph.placement(face.glyph(glyph.character, cap_height_mm).region));
  return letters;
}

const tests::Region plate = tests::rectangular(120, 60, {40, 60});

std::string raised_print(const std::vector<tests::Region>& letters, bool comments = true) {
  return letter_gcode(raised(tests::lay_each(letters), plate), {.lift_mm = 0.4, .comments = comments});
}

/// The narrowest stroke of the text as laid, by the reference.
double reference_mm(const std::vector<tests::Region>& letters) {
  double narrowest_mm = 1e9;
  for (const tests::Region& letter : letters) {
    const auto laid = tests::beads_of(tests::lay(letter));
    if (laid.empty()) continue;
    if (const auto stroke = tests::narrowest_stroke(tests::without_pores(tests::footprints(laid))))
      narrowest_mm = std::min(narrowest_mm, stroke->width_mm);
  }
  return narrowest_mm;
}

bool missing() {
  const std::string why = tests::why_no_outlines();
  if (!why.empty()) MESSAGE("skipped: ", why);
  return !why.empty();
}

constexpr std::string_view label = "Bramley 7";
constexpr double hairline_height_mm = 6;

}  // namespace

TEST_CASE("hairlines of a modern face are told with their width, with comments and without") {
  if (missing()) return;
  const tests::Face face(tests::known_faces().at(2));
  const auto letters = letters_of(face, label, hairline_height_mm, {.at = {50, 80}});
  for (const bool comments : {true, false}) {
    const FileReport report = judged(raised_print(letters, comments));
    REQUIRE(report.findings.size() == 1);
    CHECK(report.findings[0].severity == Severity::warning);
    REQUIRE(report.findings[0].measured);
    CHECK(std::abs(report.findings[0].measured->value - reference_mm(letters)) <= 0.03);
  }
}

TEST_CASE("large letters of a sans serif face are not told of") {
  if (missing()) return;
  const tests::Face face(tests::known_faces().at(0));
  CHECK(judged(raised_print(letters_of(face, label, 12, {.at = {42, 80}}))).findings.empty());
}

TEST_CASE("turned, mirrored, curved and in two lines, the letters give the same figures") {
  if (missing()) return;
  const tests::Face face(tests::known_faces().at(2));
  const std::vector<tests::TextSetting> settings{{.at = {50, 80}},
                                                 {.at = {60, 65}, .angle_deg = 30},
                                                 {.at = {150, 80}, .mirrored = true},
                                                 {.at = {100, 60}, .circle_radius_mm = 40}};
  for (const tests::TextSetting& setting : settings) {
    const auto letters = letters_of(face, label, hairline_height_mm, setting);
    const FileReport report = judged(raised_print(letters));
    REQUIRE(report.findings.size() == 1);
    CHECK(report.findings[0].severity == Severity::warning);
    CHECK(std::abs(report.findings[0].measured->value - reference_mm(letters)) <= 0.03);
  }
  const auto two = letters_of(face, "Bramley\nseedling", hairline_height_mm, {.at = {50, 90}, .line_pitch_mm = 11});
  CHECK(judged(raised_print(two)).findings.size() == 2);
}

TEST_CASE("letters of one stroke are as wide as their bead") {
  const tests::StrokeFace face = tests::stroke_face("rowmans");
  if (face.empty()) {
    MESSAGE("skipped: no Hershey data; install hershey-fonts-data");
    return;
  }
  constexpr double cap_height_mm = 7;
  constexpr double scale = cap_height_mm / tests::stroke_cap_height;
  const auto advance_mm = [&](char character) { return scale * (face.at(character).right - face.at(character).left); };
  std::vector<std::vector<PlanePoint>> strokes;
  for (const tests::PlacedGlyph& glyph : tests::set_text("Plum 42 kg", advance_mm, {.at = {50, 80}}))
    for (std::vector<PlanePoint> stroke : face.at(glyph.character).strokes) {
      for (PlanePoint& place : stroke)
        place = glyph.placement({scale * (place.x - face.at(glyph.character).left), scale * place.y});
      strokes.push_back(stroke);
    }
  for (const double width_mm : {0.22, 0.28, 0.36, 0.5}) {
    const FileReport report =
        judged(letter_gcode(raised(tests::single_strokes(strokes, width_mm), plate), {.lift_mm = 0.4}));
    CHECK(report.findings.size() == (width_mm < 0.3 ? 1 : 0));
    for (const Finding& finding : report.findings) {
      CHECK(finding.severity == Severity::warning);
      CHECK(std::abs(finding.measured->value - width_mm) <= 0.01);
    }
  }
}

TEST_CASE("sunk letters and letters of another colour are strokes too") {
  if (missing()) return;
  const tests::Face face(tests::known_faces().at(2));
  const auto letters = letters_of(face, label, hairline_height_mm, {.at = {50, 80}});
  const FileReport in_colour = judged(letter_gcode(inlaid(letters, plate), {.lift_mm = 0.4}));
  CHECK(std::any_of(in_colour.findings.begin(), in_colour.findings.end(), [](const Finding& finding) {
    return finding.severity == Severity::warning && finding.what.find("Raised") == 0;
  }));
  // The hole of a hairline is as narrow as its outline, down to where the loops around it meet.
  const FileReport in_the_plate = judged(letter_gcode(sunk(letters, plate), {.lift_mm = 0.4}));
  CHECK(std::any_of(in_the_plate.findings.begin(), in_the_plate.findings.end(),
                    [](const Finding& finding) { return finding.what.find("Sunk") == 0; }));
}
