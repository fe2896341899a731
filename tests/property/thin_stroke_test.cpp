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

/// A text in strokes; nothing where there are no data.
std::vector<std::vector<PlanePoint>> hershey_strokes(std::string_view text, double cap_height_mm) {
  const tests::StrokeFace face = tests::stroke_face("rowmans");
  if (face.empty()) {
    MESSAGE("skipped: no Hershey data; install hershey-fonts-data");
    return {};
  }
  const double scale = cap_height_mm / tests::stroke_cap_height;
  const auto advance_mm = [&](char character) { return scale * (face.at(character).right - face.at(character).left); };
  std::vector<std::vector<PlanePoint>> strokes;
  for (const tests::PlacedGlyph& glyph : tests::set_text(text, advance_mm, {.at = {50, 80}}))
    for (std::vector<PlanePoint> stroke : face.at(glyph.character).strokes) {
      for (PlanePoint& place : stroke)
        place = glyph.placement({scale * (place.x - face.at(glyph.character).left), scale * place.y});
      strokes.push_back(stroke);
    }
  return strokes;
}

constexpr std::string_view label = "Bramley 7";
constexpr double hairline_height_mm = 6;

/// N, L, Z and E of 6 mm, from (50, 50).
const std::vector<std::vector<PlanePoint>> nlze{{{50, 50}, {50, 56}, {53.5, 50}, {53.5, 56}},
                                                {{56, 56}, {56, 50}, {59, 50}},
                                                {{61, 56}, {64.5, 56}, {61, 50}, {64.5, 50}},
                                                {{69.5, 56}, {66.5, 56}, {66.5, 50}, {69.5, 50}},
                                                {{66.5, 53}, {68.9, 53}}};

/// Those letters on the bare plate, in strokes of 0.26 mm, without pulling back between them.
std::string stringing_letters(double nozzle_c, double bead_mm_per_s) {
  std::string gcode = letter_gcode(raised(tests::single_strokes(nlze, 0.26), {}, {.plate_layers = 0}),
                                   {.bead_mm_per_s = bead_mm_per_s, .retraction_mm = 0});
  const std::string set_point = "S" + std::to_string(static_cast<int>(nozzle_c));
  for (std::size_t at = gcode.find("S210"); at != std::string::npos; at = gcode.find("S210", at + 1))
    gcode.replace(at, 4, set_point);
  return gcode;
}

FileReport judged_with(const std::string& gcode, double melt_zone_mm) {
  AnalyseOptions options;
  options.only = {"thin-stroke", "excess-flow", "open-travel"};
  options.sets = {"machine.nozzle_diameter_mm=0.4", "filament.material=pla",
                  "machine.melt_zone_mm=" + std::to_string(melt_zone_mm)};
  return analyse(Source::memory("label.gcode", gcode), options);
}

const Finding* found(const FileReport& report, std::string_view check) {
  for (const Finding& finding : report.findings)
    if (finding.check == check) return &finding;
  return nullptr;
}

/// The number before a text.
int number_before(const std::string& sentence, std::string_view text) {
  const std::size_t end = sentence.find(text);
  REQUIRE(end != std::string::npos);
  const std::size_t begin = sentence.find_last_not_of("0123456789", end - 1) + 1;
  return std::stoi(sentence.substr(begin, end - begin));
}

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
  const auto strokes = hershey_strokes("Plum 42 kg", 7);
  if (strokes.empty()) return;
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

TEST_CASE("the picture shows the letters and the narrow strokes with their width, on the layer of the worst place") {
  const FileReport report = judged(letter_gcode(raised(tests::single_strokes(nlze, 0.26), plate), {.lift_mm = 0.4}));
  REQUIRE(report.findings.size() == 1);
  const Finding& finding = report.findings[0];
  REQUIRE(!finding.marks.empty());
  CHECK(finding.marks.size() <= max_marks);
  double narrowest_mm = 1e9;
  std::size_t outlines = 0;
  for (const Mark& mark : finding.marks) {
    CHECK(mark.layer == finding.places.worst().front().layer);
    for (const auto& [x, y] : mark.points_mm) {
      CHECK(x >= 50 - 0.01);
      CHECK(x <= 69.5 + 0.01);
      CHECK(y >= 50 - 0.01);
      CHECK(y <= 56 + 0.01);
    }
    if (mark.width_mm > 0) narrowest_mm = std::min(narrowest_mm, mark.width_mm);
    outlines += mark.width_mm > 0 ? 0 : 1;
  }
  CHECK(outlines == nlze.size());
  CHECK(std::abs(narrowest_mm - finding.measured->value) <= 0.01);
}

TEST_CASE("a gap that closes is drawn with its width") {
  // The next letter stands 0.6 mm beside the stem of the N: 0.15 mm are open between beads of 0.45 mm.
  std::vector<std::vector<PlanePoint>> letters = nlze;
  letters[1] = {{54.1, 56}, {54.1, 50}, {57.1, 50}};
  const FileReport report = judged(letter_gcode(raised(tests::single_strokes(letters, 0.45), plate), {.lift_mm = 0.4}));
  REQUIRE(report.findings.size() == 1);
  CHECK(report.findings[0].severity == Severity::warning);
  const std::vector<Mark>& marks = report.findings[0].marks;
  const auto is_gap = [](const Mark& mark) { return std::abs(mark.width_mm - 0.15) < 0.01; };
  const auto gap = std::find_if(marks.begin(), marks.end(), is_gap);
  REQUIRE(gap != marks.end());
  for (const auto& [x, y] : gap->points_mm) CHECK(std::abs(x - 53.8) <= 0.02);
}

TEST_CASE("marks are bounded however long a line of lettering is") {
  const auto strokes = hershey_strokes("Plum 42 kg and pears in row 7", 7);
  if (strokes.empty()) return;
  const FileReport report = judged(letter_gcode(raised(tests::single_strokes(strokes, 0.26), plate), {.lift_mm = 0.4}));
  REQUIRE(!report.findings.empty());
  CHECK(report.findings[0].marks.size() == max_marks);
  for (const Mark& mark : report.findings[0].marks) CHECK(mark.points_mm.size() <= max_mark_points);
}

TEST_CASE("where letters string, the temperature to try is the middle of the range, as open-travel has it") {
  const FileReport report = judged_with(stringing_letters(230, 30), 20);
  const Finding* thin = found(report, "thin-stroke");
  const Finding* open = found(report, "open-travel");
  REQUIRE(thin != nullptr);
  // 180 to 235 °C is the range of PLA in practice: its middle is 207.5 °C.
  CHECK(number_before(thin->remedy, " °C, the middle of the range") == 208);
  if (open != nullptr) CHECK(number_before(open->remedy, " °C, the middle of the range") == 208);
  CHECK(thin->remedy.find("Lift the nozzle by 0.2 mm") != std::string::npos);
  // In the lower half of the range nothing is said of it.
  const FileReport cool = judged_with(stringing_letters(200, 30), 20);
  REQUIRE(found(cool, "thin-stroke") != nullptr);
  CHECK(found(cool, "thin-stroke")->remedy.find("°C") == std::string::npos);
}

TEST_CASE("no temperature is advised at which the melt model finds too little reserve") {
  // What is advised is tried: excess-flow has its own way through the file, over every move.
  int bounded = 0;
  for (const double melt_zone_mm : {20.0, 3.0, 2.0, 1.9, 1.8, 1.7, 1.6, 1.5, 1.4, 1.3, 1.2, 1.1, 1.0, 0.7}) {
    const FileReport report = judged_with(stringing_letters(235, 60), melt_zone_mm);
    REQUIRE(found(report, "thin-stroke") != nullptr);
    const std::string& remedy = found(report, "thin-stroke")->remedy;
    int advised_c = 0;
    if (remedy.find("would string less than") != std::string::npos)
      advised_c = number_before(remedy, " °C, the middle of the range");
    else if (remedy.find("but no colder") != std::string::npos)
      advised_c = number_before(remedy, " °C instead of");
    bounded += remedy.find("but no colder") != std::string::npos ? 1 : 0;
    if (remedy.find("would string") == std::string::npos && remedy.find("but no colder") == std::string::npos)
      CHECK(remedy.find("Leave the nozzle at 235 °C") != std::string::npos);
    if (advised_c == 0) continue;
    CHECK(advised_c < 235);
    CHECK(found(judged_with(stringing_letters(advised_c, 60), melt_zone_mm), "excess-flow") == nullptr);
  }
  CHECK(bounded > 0);
}
