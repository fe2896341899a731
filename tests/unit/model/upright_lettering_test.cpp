// Letters on upright faces, made of layers. What they are is known from the outlines that the walls were made of: read
// from free faces by FreeType and from the stroke font of the U.S. National Bureau of Standards (Hershey), cut by level
// and upright lines in tests/support (regions by GEOS); nothing of the reference goes through the code under test.

#include "model/upright_lettering.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <string_view>

#include "support/glyph_outlines.hpp"
#include "support/hershey.hpp"
#include "support/letter_plates.hpp"
#include "support/near.hpp"
#include "support/stacked.hpp"
#include "support/text_setting.hpp"

using namespace beadwise;
using beadwise::tests::Dice;
using beadwise::tests::FaceSetting;
using beadwise::tests::near;
using beadwise::tests::Region;

namespace {

namespace tests = beadwise::tests;

constexpr double layer_mm = 0.2;
constexpr double bead_mm = 0.4;

std::vector<UprightLettering> found_in(const std::string& gcode, const UprightLimits& limits = {}) {
  UprightLetterFinder finder(limits);
  tests::for_each_stack(gcode, [&](const LayerStack& stack) { finder.add(stack.layer); });
  finder.finish();
  return finder.found();
}

std::vector<UprightLettering> found_on(const std::vector<Region>& letters, const FaceSetting& setting,
                                       const UprightLimits& limits = {}) {
  return found_in(letter_gcode(tests::lettered_body(letters, setting)), limits);
}

std::vector<Region> letters_of(const tests::Face& face, std::string_view text, double cap_mm,
                               tests::TextSetting setting = {.at = {0, 3}}) {
  const auto advance_mm = [&](char character) { return face.glyph(character, cap_mm).advance_mm; };
  std::vector<Region> letters;
  for (const tests::PlacedGlyph& glyph : tests::set_text(text, advance_mm, setting))
    letters.push_back(glyph.placement(face.glyph(glyph.character, cap_mm).region));
  return letters;
}

/// Letters of one stroke width, each as the region that a round pen covers.
std::vector<Region> strokes_of(const tests::StrokeFace& face, std::string_view text, double cap_mm, double pen_mm) {
  const double scale = cap_mm / tests::stroke_cap_height;
  const auto advance_mm = [&](char character) { return scale * (face.at(character).right - face.at(character).left); };
  std::vector<Region> letters;
  for (const tests::PlacedGlyph& glyph : tests::set_text(text, advance_mm, {.at = {0, 3}, .letter_gap_mm = pen_mm})) {
    std::vector<tests::LaidBead> beads;
    const tests::StrokeGlyph& strokes = face.at(glyph.character);
    const auto at = [&](tests::PlanePoint place) {
      return glyph.placement({scale * (place.x - strokes.left), scale * place.y});
    };
    for (const auto& stroke : strokes.strokes)
      for (std::size_t i = 1; i < stroke.size(); ++i) beads.push_back({at(stroke[i - 1]), at(stroke[i]), pen_mm});
    letters.push_back(tests::footprints(beads));
  }
  return letters;
}

Region transposed(Region region) {
  for (tests::Area& area : region) {
    for (tests::PlanePoint& corner : area.outer) std::swap(corner.x, corner.y);
    for (tests::Outline& hole : area.holes)
      for (tests::PlanePoint& corner : hole) std::swap(corner.x, corner.y);
  }
  return region;
}

/// The height of the lowest level stroke of letters: what upright lines cut out of their outlines, where neighbouring
/// lines cut out no more over one and a half times that height, and over a bead.
double lowest_stroke_mm(const std::vector<Region>& letters) {
  constexpr double step_mm = 0.02;
  double lowest_mm = 1e9;
  for (const Region& letter : letters) {
    const Region turned = transposed(letter);
    struct Cut {
      double x, low, high;
    };
    std::vector<Cut> cuts;
    for (double x = -200; x < 200; x += step_mm) {
      const std::vector<double> crossed = tests::crossings(turned, x);
      for (std::size_t i = 0; i + 1 < crossed.size(); i += 2) cuts.push_back({x, crossed[i], crossed[i + 1]});
    }
    for (double height_mm = layer_mm / 2; height_mm < std::min(lowest_mm, 3.0); height_mm += 0.02) {
      for (std::size_t i = 0; i < cuts.size(); ++i) {
        if (cuts[i].high - cuts[i].low > height_mm) continue;
        Cut last = cuts[i];
        for (std::size_t k = i + 1; k < cuts.size() && cuts[k].x < last.x + 1.5 * step_mm; ++k)
          if (cuts[k].x > last.x + step_mm / 2 && cuts[k].high - cuts[k].low <= height_mm && cuts[k].low < last.high &&
              last.low < cuts[k].high)
            last = cuts[k];
        if (last.x - cuts[i].x >= std::max(1.5 * height_mm, bead_mm)) lowest_mm = height_mm;
      }
    }
  }
  return lowest_mm;
}

bool no_faces() { return !tests::why_no_outlines().empty(); }

constexpr std::string_view label = "Plum 42";
constexpr std::size_t label_glyphs = 6;

/// Bars and stems of known size as letters: E, F, H, L, T.
struct BarFace {
  double stem_mm = 0.8;
  double bar_mm = 0.6;
  double height_mm = 5;
  double width_mm = 3;
};

std::vector<Region> bar_letters(const BarFace& face, std::string_view text) {
  std::vector<Region> letters;
  double x = 0;
  for (const char character : text) {
    const auto stem = [&](double at) { return tests::rectangular(face.stem_mm, face.height_mm, {x + at, 2}); };
    const auto bar = [&](double at) { return tests::rectangular(face.width_mm, face.bar_mm, {x, 2 + at}); };
    const double top = face.height_mm - face.bar_mm;
    const double right = face.width_mm - face.stem_mm;
    std::vector<Region> parts;
    if (character == 'E') parts = {stem(0), bar(0), bar(top / 2), bar(top)};
    if (character == 'F') parts = {stem(0), bar(top / 2), bar(top)};
    if (character == 'L') parts = {stem(0), bar(0)};
    if (character == 'T') parts = {stem(right / 2), bar(top)};
    if (character == 'H') parts = {stem(0), stem(right), bar(top / 2)};
    letters.push_back(tests::united(parts));
    x += face.width_mm + 1;
  }
  return letters;
}

}  // namespace

TEST_CASE("letters of a wall, raised and sunk, at any angle of the face: their height, depth and layers are told") {
  for (const bool sunk : {false, true})
    for (const double turn_deg : {0.0, 217.0})
      for (const double relief_mm : {0.1, 0.2, 0.4, 1.0}) {
        CAPTURE(sunk);
        CAPTURE(turn_deg);
        CAPTURE(relief_mm);
        const auto found =
            found_on(bar_letters({}, "HELFT"), {.relief_mm = relief_mm, .sunk = sunk, .turn_deg = turn_deg});
        REQUIRE(found.size() == 1);
        const UprightLettering& one = found[0];
        CHECK(one.sunk == sunk);
        CHECK(one.line.glyphs == 5);
        CHECK(near(one.line.height_mm, 5, layer_mm));
        CHECK(near(one.depth_mm, relief_mm, 0.01));
        CHECK(near(one.bead_mm, bead_mm, 0.01));
        // From 2 mm to 7 mm in layers of 0.2 mm: the 11th to the 35th.
        CHECK(one.first_layer == 11);
        CHECK(one.last_layer == 35);
        // A bar of 0.6 mm is three layers; a stem is as wide as drawn.
        CHECK(one.lowest_layers == 3);
        // A bead goes around the foot of a step in an arc of half its width and cannot fill the corner at its top:
        // at half of the step what it prints ends where the disc at that corner does.
        const double half_mm = bead_mm / 2;
        const auto reach_mm = [&](double off_mm) { return std::sqrt(half_mm * half_mm - off_mm * off_mm); };
        const double corner_mm = relief_mm < half_mm ? reach_mm(half_mm - relief_mm) : half_mm;
        const double rounded_mm = corner_mm - reach_mm(half_mm - std::min(half_mm, relief_mm / 2));
        CHECK(near(one.narrowest_mm, 0.8 + (sunk ? 2 : -2) * rounded_mm, 0.01));
        CHECK(one.closing_gaps == 0);
        // Seen from outside: the front of the body looks to -Y before it is turned.
        CHECK(near(one.outward_deg, std::fmod(270 + turn_deg, 360), 0.5));
      }
}

TEST_CASE("low bars are counted in layers, with their length") {
  for (const int layers : {1, 2, 3, 4}) {
    const auto found = found_on(bar_letters({.bar_mm = layers * layer_mm}, "HELFT"), {});
    REQUIRE(found.size() == 1);
    CHECK(found[0].lowest_layers == layers);
    // H, E, L, F and T have 1, 3, 1, 2 and 1 bars; each stands out of its stem by 3 mm less a stem, H between two.
    const double bars_mm = layers == 1 ? 3 * 2.2 + 2.2 + 2 * 2.2 + 2 * 1.1 + 1.4 : 0;
    CHECK(near(found[0].low_length_mm, bars_mm, 0.12 * bars_mm + 0.01));
  }
}

TEST_CASE("stems narrower than asked are told, in every layer") {
  const auto found = found_on(bar_letters({.stem_mm = 0.5}, "HELFT"), {.relief_mm = 1}, {.stroke_beads = 1.5});
  REQUIRE(found.size() == 1);
  CHECK(near(found[0].narrowest_mm, 0.5, 0.02));
  CHECK(!found[0].narrow_strokes.empty());
  CHECK(found_on(bar_letters({.stem_mm = 0.8}, "HELFT"), {.relief_mm = 1}, {.stroke_beads = 1.5})[0]
            .narrow_strokes.empty());
}

TEST_CASE("gaps are told where they close: upright ones along the wall, level ones in layers") {
  // The openings of an H are 0.15 mm wide between two stems; of an E one layer high between bars.
  const auto narrow = found_on(bar_letters({.stem_mm = 0.9, .width_mm = 1.95}, "HELFT"), {.relief_mm = 1});
  REQUIRE(narrow.size() == 1);
  CHECK(near(narrow[0].narrowest_gap_mm, 0.15, 0.02));
  CHECK(narrow[0].closing_gaps == 2);
  const auto low = found_on(bar_letters({.bar_mm = 1.2, .height_mm = 4}, "HELFT"), {.relief_mm = 1});
  REQUIRE(low.size() == 1);
  CHECK(low[0].lowest_gap_layers == 1);
  CHECK(low[0].closing_gaps == 3);  // two in E, one in F
}

TEST_CASE("letters thicker than a bead are found in outlined faces, with the strokes of their outlines" *
          doctest::skip(no_faces())) {
  int tried = 0;
  int whole = 0;
  int level = 0;
  for (const tests::FaceFile& file : tests::known_faces()) {
    const tests::Face face(file);
    for (const double cap_mm : {3.0, 4.0, 6.0, 12.0})
      for (const bool sunk : {false, true}) {
        // Hairlines of raised letters thinner than a bead are not laid: those of 3 mm, and of faces with contrast.
        if (!sunk && cap_mm < (file.name == tests::known_faces().front().name ? 5 : 100)) continue;
        const std::vector<Region> letters = letters_of(face, label, cap_mm);
        const double relief_mm = cap_mm < 6 ? 0.3 : 0.6;
        const auto found = found_on(letters, {.relief_mm = relief_mm, .sunk = sunk, .turn_deg = 10 * cap_mm});
        ++tried;
        CAPTURE(file.name);
        CAPTURE(cap_mm);
        CAPTURE(sunk);
        CHECK(found.size() == 1);
        if (found.size() != 1) continue;
        CHECK(near(found[0].line.height_mm, cap_mm, layer_mm + 0.02 * cap_mm));
        CHECK(near(found[0].depth_mm, relief_mm, 0.02));
        // Layers that a stroke of this height takes, wherever it begins: one more or less than its height over theirs.
        const double lowest = lowest_stroke_mm(letters) / layer_mm;
        level +=
            found[0].lowest_layers >= std::max(1.0, std::floor(lowest)) && found[0].lowest_layers <= std::ceil(lowest);
        MESSAGE(file.name, " ", cap_mm, sunk ? std::string(" mm sunk: ") : std::string(" mm raised: "),
                found[0].line.glyphs, " glyphs, lowest stroke ", found[0].lowest_layers, " layers, of its outline ",
                lowest);
        // A hairline lower than a layer may lie between two and break its letter.
        if (lowest >= 1) CHECK(found[0].line.glyphs == label_glyphs);
        whole += found[0].line.glyphs == label_glyphs;
      }
  }
  MESSAGE(tried, " lines: ", whole, " with as many glyphs as set, lowest level stroke as of the outlines in ", level);
  CHECK(level == tried);
}

TEST_CASE("letters of one pen are found, raised and sunk" * doctest::skip(tests::stroke_face("rowmans").empty())) {
  const tests::StrokeFace face = tests::stroke_face("rowmans");
  for (const double cap_mm : {4.0, 8.0, 12.0})
    for (const bool sunk : {false, true}) {
      CAPTURE(cap_mm);
      CAPTURE(sunk);
      const double pen_mm = std::max(0.6, 0.1 * cap_mm);
      const auto found = found_on(strokes_of(face, "PLUM 42", cap_mm, pen_mm), {.relief_mm = 0.5, .sunk = sunk});
      REQUIRE(found.size() == 1);
      CHECK(found[0].line.glyphs == label_glyphs);
      // The pen reaches beyond the strokes by half its width at top and bottom.
      CHECK(near(found[0].line.height_mm, cap_mm + pen_mm, layer_mm + 0.02 * cap_mm));
      CHECK(near(found[0].narrowest_mm, pen_mm, 0.05));
      CHECK(found[0].lowest_layers >= std::floor(pen_mm / layer_mm));
      CHECK(found[0].lowest_layers <= std::ceil(pen_mm / layer_mm));
    }
}

TEST_CASE("letters around a round body give the same figures as on a flat one") {
  for (const bool sunk : {false, true})
    for (const double radius_mm : {15.0, 40.0}) {
      CAPTURE(sunk);
      CAPTURE(radius_mm);
      const auto found =
          found_on(bar_letters({}, "HELFT"), {.relief_mm = 0.5, .sunk = sunk, .turn_deg = 20, .radius_mm = radius_mm});
      REQUIRE(found.size() == 1);
      CHECK(near(found[0].radius_mm, radius_mm - bead_mm / 2, 0.1));
      CHECK(found[0].line.glyphs == 5);
      CHECK(near(found[0].depth_mm, 0.5, 0.02));
      CHECK(found[0].lowest_layers == 3);
      CHECK(near(found[0].narrowest_mm, 0.8, 0.05));
      CHECK(near(found[0].outward_deg, 290, 3));
    }
}

TEST_CASE("two lines of letters, letters that run up the wall, and comments or none") {
  std::vector<Region> two = bar_letters({.height_mm = 4}, "HELFT");
  for (Region letter : bar_letters({.height_mm = 4}, "TFLEH")) {
    for (tests::Area& area : letter)
      for (tests::PlanePoint& corner : area.outer) corner.y += 7;
    two.push_back(letter);
  }
  CHECK(found_on(two, {}).size() == 2);
  std::vector<Region> upwards = bar_letters({}, "HELFT");
  for (Region& letter : upwards)
    for (tests::Area& area : letter)
      for (tests::PlanePoint& corner : area.outer) corner = {10 - corner.y, corner.x + 2};
  const auto up = found_on(upwards, {});
  REQUIRE(up.size() == 1);
  CHECK(near(up[0].line.angle_deg, 90, 1));
  const auto layers = tests::lettered_body(bar_letters({}, "HELFT"), {});
  const auto silent = found_in(letter_gcode(layers, {.comments = false}));
  REQUIRE(silent.size() == 1);
  CHECK(silent[0].line.glyphs == 5);
}

TEST_CASE("letters of labels side by side whose fronts are in line are lines of their own") {
  std::vector<tests::LaidLayer> both = tests::lettered_body(bar_letters({}, "HELFT"), {.foot = {80, 100}});
  const std::vector<tests::LaidLayer> second = tests::lettered_body(bar_letters({}, "TFLEH"), {.foot = {120, 100}});
  for (std::size_t i = 0; i < both.size(); ++i)
    for (const tests::LaidTrack& track : second[i].tools[0].tracks) both[i].tools[0].tracks.push_back(track);
  const auto found = found_in(letter_gcode(both));
  REQUIRE(found.size() == 2);
  for (const UprightLettering& one : found) CHECK(one.line.glyphs == 5);
  CHECK(found[0].box_mm.high.x < 100);
  CHECK(found[1].box_mm.low.x > 100);
}

TEST_CASE("a rim as high as the letters that it goes around changes nothing") {
  const std::vector<Region> letters = bar_letters({}, "HELFT");
  const Region rim = tests::without(tests::rectangular(25, 9, {-3, 0}), tests::rectangular(23, 7, {-2, 1}));
  std::vector<Region> rimmed = letters;
  rimmed.push_back(rim);
  const auto within = found_on(rimmed, {.relief_mm = 0.6});
  REQUIRE(within.size() == 1);
  CHECK(within[0].line.glyphs == 5);
  CHECK(near(within[0].depth_mm, 0.6, 0.01));
  CHECK(!within[0].sunk);
}

TEST_CASE("what is kept of a wall stays small where all of it is steps") {
  std::vector<tests::LaidTrack> comb;
  tests::Outline teeth{{420, 4}, {0, 4}};
  for (double x = 0; x < 420; x += 0.6) {
    teeth.push_back({x, 0});
    teeth.push_back({x + 0.3, 0});
    teeth.push_back({x + 0.3, -0.4});
    teeth.push_back({x + 0.6, -0.4});
  }
  tests::LaidTrack wall{tests::LaidPart::outline, {}};
  for (std::size_t i = 0; i < teeth.size(); ++i)
    wall.beads.push_back({teeth[i], teeth[(i + 1) % teeth.size()], bead_mm});
  comb.push_back(wall);
  CHECK(found_in(letter_gcode(std::vector<tests::LaidLayer>(60, {layer_mm, {{0, comb}}}))).empty());
}

namespace {

/// What stands on walls and is no lettering, 40 mm long and 12 mm high.
std::vector<Region> ribs(double width_mm, double pitch_mm) {
  std::vector<Region> all;
  for (double x = 0; x < 40; x += pitch_mm) all.push_back(tests::rectangular(width_mm, 12, {x, 2}));
  return all;
}

std::vector<Region> grooves(double height_mm, double pitch_mm) {
  std::vector<Region> all;
  for (double y = 2; y < 14; y += pitch_mm) all.push_back(tests::rectangular(36, height_mm, {2, y}));
  return all;
}

std::vector<Region> diamonds(double size_mm) {
  std::vector<Region> all;
  for (double y = 3; y < 14; y += 1.5 * size_mm)
    for (double x = 0; x < 40; x += 1.5 * size_mm)
      all.push_back(
          {{{{x, y}, {x + size_mm / 2, y - size_mm / 2}, {x + size_mm, y}, {x + size_mm / 2, y + size_mm / 2}}, {}}});
  return all;
}

std::vector<Region> crossed_ribs() {
  std::vector<tests::LaidBead> beads;
  for (double x = -12; x < 40; x += 4) {
    beads.push_back({{x, 2}, {x + 12, 14}, 1});
    beads.push_back({{x + 12, 2}, {x, 14}, 1});
  }
  return {tests::footprints(beads)};
}

std::vector<Region> slots() {
  std::vector<Region> all;
  for (double y = 3; y < 12; y += 4)
    for (double x = 0; x < 40; x += 5) all.push_back(tests::footprints({{{x, y}, {x + 3, y}, 1.2}}));
  return all;
}

std::vector<Region> screw_heads() {
  std::vector<Region> all;
  for (double x = 3; x < 40; x += 8) all.push_back(tests::footprints({{{x, 6}, {x + 0.01, 6}, 4}}));
  return all;
}

/// Blocks strewn at random, some of which touch.
std::vector<Region> strewn(std::uint64_t seed) {
  Dice dice(seed);
  std::vector<Region> all;
  const auto mm = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(dice.roll(1000)) / 1000;
  };
  for (int i = 0; i < 40; ++i) all.push_back(tests::rectangular(mm(0.6, 3), mm(0.4, 3), {mm(0, 38), mm(2, 12)}));
  return {tests::united(all)};
}

std::vector<Region> honeycomb() {
  std::vector<Region> all;
  const double side = 1.6;
  for (int row = 0; row < 5; ++row)
    for (int column = 0; column < 12; ++column) {
      const double x = 3.2 * column + (row % 2 ? 1.6 : 0);
      const double y = 3.5 + 2.6 * row;
      tests::Outline hexagon;
      for (int k = 0; k < 6; ++k)
        hexagon.push_back({x + 0.8 * side * std::cos((k + 0.5) * std::numbers::pi / 3),
                           y + 0.8 * side * std::sin((k + 0.5) * std::numbers::pi / 3)});
      all.push_back({{hexagon, {}}});
    }
  return all;
}

/// A helix unrolled: what a thread is on the wall of a boss.
std::vector<Region> threads() {
  std::vector<tests::LaidBead> beads;
  for (double y = -3; y < 16; y += 2.5) beads.push_back({{0, y}, {40, y + 2.5}, 1});
  return {tests::common(tests::footprints(beads), tests::rectangular(40, 12, {0, 2}))};
}

}  // namespace

TEST_CASE("ribs, grooves, knurls, lattices, vents, screw heads, threads and honeycombs on a wall are no lettering") {
  const std::vector<std::vector<Region>> patterns{ribs(1, 2),    ribs(0.8, 3), ribs(2, 5),     grooves(0.6, 1.6),
                                                  diamonds(1.6), diamonds(3),  crossed_ribs(), slots(),
                                                  screw_heads(), honeycomb(),  threads()};
  for (std::size_t i = 0; i < patterns.size(); ++i)
    for (const bool sunk : {false, true})
      for (const double radius_mm : {0.0, 12.0}) {
        CAPTURE(i);
        CAPTURE(sunk);
        CAPTURE(radius_mm);
        CHECK(found_on(patterns[i], {.relief_mm = 0.5, .sunk = sunk, .radius_mm = radius_mm}).empty());
      }
}

namespace {

/// A round body whose radius is told by angle and height.
template <class Radius>
std::string turned_body(const Radius& radius_mm, int layers = 40) {
  std::vector<tests::LaidLayer> body;
  for (int layer = 0; layer < layers; ++layer) {
    tests::Outline outline;
    constexpr int corners = 1440;
    for (int i = 0; i < corners; ++i) {
      const double angle = 2 * std::numbers::pi * i / corners;
      const double r = radius_mm(angle, layer * layer_mm);
      outline.push_back({100 + r * std::cos(angle), 100 + r * std::sin(angle)});
    }
    body.push_back({layer_mm, {{0, tests::loops_around({{outline, {}}})}}});
  }
  return letter_gcode(body);
}

/// 1 over the first half of each turn of `count`, else 0.
double square_wave(double angle, double count) { return std::sin(count * angle) > 0 ? 1 : 0; }

}  // namespace

TEST_CASE("gears, threaded bosses, knurled knobs and textured vases are no lettering") {
  const double pi = std::numbers::pi;
  const auto gear = [](double angle, double) { return 14 + 2 * square_wave(angle, 24); };
  const auto thread = [&](double angle, double z) { return 8 + 0.5 * std::cos(angle - 2 * pi * z / 1.5); };
  const auto coarse_thread = [](double angle, double z) { return 10 + 0.6 * square_wave(angle - 2.1 * z, 1); };
  const auto knob = [](double angle, double z) {
    return 12 + 0.5 * square_wave(angle + 0.1 * z, 20) * square_wave(angle - 0.1 * z, 20);
  };
  const auto vase = [](double angle, double z) { return 20 + 0.05 * z + 0.6 * std::sin(18 * angle) * std::sin(2 * z); };
  const auto checks = [](double angle, double z) { return 20 + 0.5 * (square_wave(angle, 16) == square_wave(z, 1.5)); };
  CHECK(found_in(turned_body(gear)).empty());
  CHECK(found_in(turned_body(thread)).empty());
  CHECK(found_in(turned_body(coarse_thread)).empty());
  CHECK(found_in(turned_body(knob)).empty());
  CHECK(found_in(turned_body(vase)).empty());
  CHECK(found_in(turned_body(checks)).empty());
}

TEST_CASE("lattices, tree-like supports and walls that stop short of their seams are no lettering") {
  Dice dice(11);
  std::vector<tests::LaidLayer> lattice;
  std::vector<tests::LaidLayer> branches;
  std::vector<tests::LaidLayer> coasted;
  for (int layer = 0; layer < 40; ++layer) {
    std::vector<tests::LaidBead> struts;
    const double shift = 4 * std::abs(std::sin(0.15 * layer));
    for (double x = 0; x < 40; x += 8) {
      struts.push_back({{x + shift, 0}, {x + shift, 40}, 1.6});
      struts.push_back({{0, x + shift}, {40, x + shift}, 1.6});
    }
    lattice.push_back({layer_mm, {{0, tests::loops_around(tests::footprints(struts))}}});
    std::vector<tests::LaidBead> trunks;
    for (int i = 0; i < 12; ++i) {
      const double x = 3.0 * i + 0.02 * i * layer;
      const double y = static_cast<double>(dice.roll(200)) / 1000 + 0.3 * (i % 4) * layer / 10;
      trunks.push_back({{x, y}, {x + 0.01, y}, 2.4});
    }
    branches.push_back({layer_mm, {{0, tests::loops_around(tests::footprints(trunks))}}});
    std::vector<tests::LaidTrack> box = tests::loops_around(tests::rectangular(30, 20, {0, 0}));
    const tests::LaidBead last = box[0].beads.back();
    const double share = 0.8 + static_cast<double>(dice.roll(150)) / 1000;
    box[0].beads.back().to = {last.from.x + share * (last.to.x - last.from.x),
                              last.from.y + share * (last.to.y - last.from.y)};
    coasted.push_back({layer_mm, {{0, box}}});
  }
  CHECK(found_in(letter_gcode(lattice)).empty());
  CHECK(found_in(letter_gcode(branches)).empty());
  CHECK(found_in(letter_gcode(coasted)).empty());
}

TEST_CASE("blocks strewn over a wall at random are hardly ever taken for lettering") {
  int taken = 0;
  for (std::uint64_t seed = 1; seed <= 12; ++seed) taken += !found_on(strewn(seed), {.relief_mm = 0.6}).empty();
  MESSAGE("lettering in ", taken, " of 12 walls with blocks strewn at random");
  CHECK(taken <= 1);
}

TEST_CASE("a rough wall, a wall of many depths and a single layer of steps are no lettering") {
  Dice dice(7);
  const auto out = [&] { return static_cast<double>(dice.roll(1000)) / 2500; };
  std::vector<tests::LaidLayer> rough;
  std::vector<tests::LaidLayer> terraced;
  for (int i = 0; i < 40; ++i) {
    tests::Outline random{{40, 4}, {0, 4}};
    for (double x = 0; x <= 40; x += 0.5) random.push_back({x, -out()});
    rough.push_back({layer_mm, {{0, tests::loops_around({{random, {}}})}}});
    std::vector<Region> parts{tests::rectangular(40, 4, {0, 0})};
    for (double x = 1; x < 39; x += 2) parts.push_back(tests::rectangular(1.2, 1.2, {x, -0.2 - out()}));
    terraced.push_back({layer_mm, {{0, tests::loops_around(tests::united(parts))}}});
  }
  CHECK(found_in(letter_gcode(rough)).empty());
  CHECK(found_in(letter_gcode(terraced)).empty());
  CHECK(found_on(bar_letters({.bar_mm = 0.1, .height_mm = 0.2}, "HELFT"), {}).empty());
}

TEST_CASE("no wall, an open wall and a wall with one step: nothing") {
  CHECK(found_in(tests::letter_gcode({})).empty());
  CHECK(found_in(
            tests::letter_gcode({{layer_mm, {{0, tests::single_strokes({{{0, 0}, {20, 0}, {20, 1}, {40, 1}}}, 0.4)}}}}))
            .empty());
  CHECK(found_on({tests::rectangular(20, 5, {0, 2})}, {}).empty());
}
