// What the tests of letters stand on: set operations, medial axis, glyphs, beads laid from them, G-code of these. Each
// fact is known without them.

#include <doctest/doctest.h>

#include <cmath>
#include <iostream>
#include <map>
#include <numbers>
#include <set>

#include "support/followed.hpp"
#include "support/glyph_outlines.hpp"
#include "support/hershey.hpp"
#include "support/letter_plates.hpp"
#include "support/medial_axis.hpp"
#include "support/near.hpp"
#include "support/text_setting.hpp"

namespace beadwise::tests {
namespace {

constexpr double pi = std::numbers::pi;

/// Says once why tests are skipped.
bool skipped(const std::string& why) {
  if (!why.empty()) std::cerr << "skipped: " << why << '\n';
  return !why.empty();
}

bool no_outlines() {
  static const bool skip = skipped(why_no_outlines());
  return skip;
}

bool no_strokes() {
  static const bool skip =
      skipped(stroke_face("rowmans").empty()
                  ? "no stroke fonts in " + stroke_fonts_folder().string() + " (Debian's package hershey-fonts-data)."
                  : std::string());
  return skip;
}

Outline circle(double radius_mm, PlanePoint center) {
  constexpr int corners = 720;
  Outline outline;
  for (int i = 0; i < corners; ++i) {
    const double angle = 2 * pi * i / corners;
    outline.push_back({center.x + radius_mm * std::cos(angle), center.y + radius_mm * std::sin(angle)});
  }
  return outline;
}

Region turned(const Region& region, double angle_deg) {
  return Placement({40, 30}, angle_deg * pi / 180, false)(region);
}

/// A bar along x, from the base line up.
Region bar(double width_mm, double length_mm = 8) { return rectangular(length_mm, width_mm, {0, 0}); }

std::set<LaidPart> parts_of(const std::vector<LaidTrack>& tracks) {
  std::set<LaidPart> parts;
  for (const LaidTrack& track : tracks) parts.insert(track.part);
  return parts;
}

Region printed(const std::vector<LaidTrack>& tracks) { return without_pores(footprints(beads_of(tracks))); }

std::vector<Region> set_in(const Face& face, const std::string& text, double cap_height_mm,
                           const TextSetting& setting) {
  const auto advance_mm = [&](char character) { return face.glyph(character, cap_height_mm).advance_mm; };
  std::vector<Region> letters;
  for (const PlacedGlyph& glyph : set_text(text, advance_mm, setting))
    letters.push_back(glyph.placement(face.glyph(glyph.character, cap_height_mm).region));
  return letters;
}

TEST_CASE("regions: a square grown by r has four sides more and one circle; shrunk again it is the square") {
  const Region square_mm = rectangular(10, 10, {5, 5});
  const Region large = grown(square_mm, 1);
  // A circle of 32 corners is 0.02 smaller than a round one.
  CHECK(near(area_mm2(large), 100 + 4 * 10 + pi, 0.025));
  CHECK(near(area_mm2(inset(large, 1)), 100, 0.01));
  CHECK(near(area_mm2(opened(square_mm, 1)), 100 - (4 - pi), 0.025));
  CHECK(inset(square_mm, 5.01).empty());
}

TEST_CASE("regions: closing fills a slot narrower than its disc's diameter and no wider one") {
  const Region slotted = without(rectangular(10, 10, {0, 0}), rectangular(0.1, 6, {5, 2}));
  CHECK(closed(slotted, 0.04).front().holes.size() == 1);
  CHECK(closed(slotted, 0.06).front().holes.empty());
  CHECK(without_pores(slotted, 0.04).front().holes.size() == 1);
  CHECK(without_pores(slotted, 0.06).front().holes.empty());
}

TEST_CASE("regions: a bead's footprint is a rectangle and a circle; two that cross count their overlap once") {
  CHECK(near(area_mm2(footprints({{{0, 0}, {10, 0}, 0.4}})), 10 * 0.4 + pi * 0.04, 0.002));
  const Region cross = footprints({{{-5, 0}, {5, 0}, 0.4}, {{0, -5}, {0, 5}, 0.6}});
  CHECK(near(area_mm2(cross), 10 * 0.4 + pi * 0.04 + 10 * 0.6 + pi * 0.09 - 0.4 * 0.6, 0.003));
  CHECK(cross.size() == 1);
}

TEST_CASE("regions: rings of a font within one another add and take away by turns") {
  std::vector<Outline> rings{circle(1, {0, 0}), circle(3, {0, 0}), circle(2, {0, 0})};
  std::reverse(rings[2].begin(), rings[2].end());
  CHECK(near(area_mm2(bounded_by(rings)), pi * (9 - 4 + 1), 0.01));
}

TEST_CASE("medial axis: a bar is as thick as it is wide, at any angle") {
  for (const double width_mm : {0.15, 0.4, 0.8, 1.2})
    for (const double angle_deg : {0.0, 17.0, 45.0, 90.0}) {
      const auto found = narrowest_stroke(turned(bar(width_mm), angle_deg));
      REQUIRE(found);
      CHECK(near(found->width_mm, width_mm, 0.0005));
    }
}

TEST_CASE("medial axis: a ring is as thick as its wall, and thinnest where its hole lies off the centre") {
  const Region even{{circle(3, {0, 0}), {circle(2.4, {0, 0})}}};
  REQUIRE(narrowest_stroke(even));
  CHECK(near(narrowest_stroke(even)->width_mm, 0.6, 0.001));
  // 3 − 2.4 − 0.15 of wall on the side to which the hole is moved, its middle 2.4 + 0.15 + 0.225 out.
  const Region eccentric{{circle(3, {0, 0}), {circle(2.4, {0, 0.15})}}};
  const auto thinnest = narrowest_stroke(eccentric);
  REQUIRE(thinnest);
  CHECK(near(thinnest->width_mm, 0.45, 0.001));
  CHECK(near(thinnest->at.x, 0, 0.1));
  CHECK(near(thinnest->at.y, 2.775, 0.01));
}

/// From 1 mm wide at x = 0 to `length_mm`, its sides `angle_deg` apart.
Region wedge(double angle_deg, double length_mm) {
  const double widening_mm = length_mm * std::tan(angle_deg / 2 * pi / 180);
  return united({{{{{0, -0.5}, {length_mm, -0.5 - widening_mm}, {length_mm, 0.5 + widening_mm}, {0, 0.5}}, {}}}});
}

TEST_CASE("medial axis: a slim wedge is thinnest at its narrow end, a wide one has no opposite sides") {
  // The disc that touches both sides and the end: r = (1/2) cos 10° / (1 − sin 10°) = 0.5959.
  REQUIRE(narrowest_stroke(wedge(20, 6)));
  CHECK(near(narrowest_stroke(wedge(20, 6))->width_mm, 1.1918, 0.001));
  // At 40 degrees between its sides it counts as a dot, as thick as the largest disc: it touches both sides and the
  // wide end, so that r (1 + 1 / sin 20°) = 6 mm + 0.5 mm / tan 20°.
  const double largest_mm = (6 + 0.5 / std::tan(20 * pi / 180)) / (1 + 1 / std::sin(20 * pi / 180));
  CHECK(near(narrowest_stroke(wedge(40, 6))->width_mm, 2 * largest_mm, 0.001));
}

TEST_CASE("medial axis: a stroke that runs out to a point counts from where it is as thick as asked") {
  const Region needle = united({{{{{0, 0}, {10, -0.5}, {10, 0.5}}, {}}}});
  CHECK(near(narrowest_stroke(needle)->width_mm, 0, 0.01));
  CHECK(near(narrowest_stroke(needle, 0.5)->width_mm, 0.5, 0.011));
}

TEST_CASE("medial axis: two strokes that taper into one neck are as thin as the neck") {
  // A bow tie: wedges of 20 degrees that meet where both are 0.3 mm wide.
  const double slope = std::tan(10 * pi / 180);
  const double end = 0.15 + 5 * slope;
  const Region bow = united({{{{{-5, -end}, {0, -0.15}, {5, -end}, {5, end}, {0, 0.15}, {-5, end}}, {}}}});
  CHECK(near(narrowest_stroke(bow)->width_mm, 0.3, 0.001));
}

double distance_from_boundary(PlanePoint place, const Region& region) {
  double nearest_mm = 1e9;
  const auto look_at = [&](const Outline& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const PlanePoint a = ring[i];
      const PlanePoint b = ring[(i + 1) % ring.size()];
      const double dx = b.x - a.x;
      const double dy = b.y - a.y;
      const double share = std::clamp(((place.x - a.x) * dx + (place.y - a.y) * dy) / (dx * dx + dy * dy), 0.0, 1.0);
      nearest_mm = std::min(nearest_mm, std::hypot(a.x + share * dx - place.x, a.y + share * dy - place.y));
    }
  };
  for (const Area& area : region) {
    look_at(area.outer);
    for (const Outline& hole : area.holes) look_at(hole);
  }
  return nearest_mm;
}

TEST_CASE("medial axis: every node is as far from the whole boundary as its disc is large, and inside" *
          doctest::skip(no_outlines())) {
  const Face face(known_faces().at(1));
  for (const char character : {'a', 'R', '8', '&'}) {
    const Region region = face.glyph(character, 5).region;
    const MedialAxis axis = medial_axis(region);
    CHECK(axis.nodes.size() > 100);
    double worst_mm = 0;
    int outside = 0;
    for (const MedialNode& node : axis.nodes) {
      worst_mm = std::max(worst_mm, std::fabs(distance_from_boundary(node.at, region) - node.radius_mm));
      // On the row of the node: an odd number of crossings to its left.
      const std::vector<double> crossed = crossings(region, node.at.y);
      const auto left = std::count_if(crossed.begin(), crossed.end(), [&](double x) { return x < node.at.x; });
      outside += node.radius_mm > 0.001 && left % 2 == 0 ? 1 : 0;
    }
    CHECK(worst_mm < 1e-4);
    CHECK(outside == 0);
  }
}

TEST_CASE("stroke fonts: path lengths and pen-ups by hand" * doctest::skip(no_strokes())) {
  const StrokeFace face = stroke_face("rowmans");
  CHECK(face.size() == 95);  // from the blank to the tilde
  // H: "KF K[", "YF Y[", "KP YP": two strokes from F to [, 21 letters on, and one from K to Y, 14 letters on.
  CHECK(near(face.at('H').path_length(), 21 + 21 + 14, 1e-9));
  CHECK(face.at('H').pen_ups() == 2);
  // V: "JF R[", "ZF R[": 8 across and 21 down, twice.
  CHECK(near(face.at('V').path_length(), 2 * std::hypot(8, 21), 1e-9));
  CHECK(face.at('V').pen_ups() == 1);
  CHECK(face.at(' ').strokes.empty());
  CHECK(near(face.at('H').strokes.front().front().y, stroke_cap_height, 1e-9));
  CHECK(near(face.at('H').strokes.front().back().y, 0, 1e-9));
}

TEST_CASE("outlines: a capital is as high as asked, in every face; contrast differs" * doctest::skip(no_outlines())) {
  std::map<std::string, double> contrast;
  for (const FaceFile& file : known_faces()) {
    const Face face(file);
    for (const double cap_height_mm : {3.0, 20.0}) {
      const Outline outline = face.glyph('H', cap_height_mm).region.front().outer;
      const auto [low, high] =
          std::minmax_element(outline.begin(), outline.end(), [](PlanePoint a, PlanePoint b) { return a.y < b.y; });
      CHECK(near(high->y - low->y, cap_height_mm, 0.001));
    }
    // Stem to bar of the H: the largest disc against the narrowest stroke.
    const MedialAxis axis = medial_axis(face.glyph('H', 20).region);
    double widest_mm = 0;
    for (const MedialNode& node : axis.nodes) widest_mm = std::max(widest_mm, 2 * node.radius_mm);
    contrast[file.name] = widest_mm / narrowest_stroke(face.glyph('H', 20).region)->width_mm;
  }
  CHECK(contrast["DejaVu Sans"] < 1.5);
  CHECK(contrast["EB Garamond 12"] > 1.5);
  CHECK(contrast["Old Standard"] > 2.5);
}

TEST_CASE("outlines: every printable character of every face has an area and fits its advance" *
          doctest::skip(no_outlines())) {
  for (const FaceFile& file : known_faces()) {
    const Face face(file);
    for (char character = '!'; character <= '~'; ++character) {
      CAPTURE(character);
      const GlyphOutline glyph = face.glyph(character, 10);
      CHECK(area_mm2(glyph.region) > 0.1);
      CHECK(glyph.advance_mm > 1);
    }
    // Two halves with a hole each, one part; the dot stands alone.
    CHECK(face.glyph('8', 10).region.front().holes.size() == 2);
    CHECK(face.glyph('i', 10).region.size() == 2);
  }
}

TEST_CASE("maker: a bar thinner than 0.6 nozzles is dropped, up to two nozzles it is one bead of its width") {
  CHECK(lay(bar(0.23)).empty());
  for (const double width_mm : {0.25, 0.4, 0.63, 0.8}) {
    const std::vector<LaidTrack> tracks = lay(bar(width_mm));
    REQUIRE(tracks.size() == 1);
    CHECK(tracks.front().part == LaidPart::stroke);
    double length_mm = 0;
    for (const LaidBead& bead : tracks.front().beads) {
      CHECK(near(bead.width_mm, width_mm, 0.001));
      length_mm += std::hypot(bead.to.x - bead.from.x, bead.to.y - bead.from.y);
    }
    // Its round ends reach to the ends of the bar.
    CHECK(near(length_mm, 8 - width_mm, 0.01));
    CHECK(near(area_mm2(printed(tracks)), (8 - width_mm) * width_mm + pi * width_mm * width_mm / 4, 0.005));
  }
}

TEST_CASE("maker: a thicker bar has an outline, wider where nothing fits between its sides") {
  // 0.9 mm: two beads that reach 0.043 mm into each other, (0.9 + 0.043) / 2 each.
  const std::vector<LaidTrack> two = lay(bar(0.9));
  CHECK(parts_of(two) == std::set{LaidPart::outline});
  CHECK(std::any_of(two.front().beads.begin(), two.front().beads.end(),
                    [](const LaidBead& bead) { return near(bead.width_mm, 0.4715, 0.001); }));
  // 1.2 mm: sides of 0.4 mm and a bead between them, 1.2 − 2 · 0.4 + 2 · 0.043.
  const std::vector<LaidTrack> three = lay(bar(1.2));
  CHECK(parts_of(three) == std::set{LaidPart::outline, LaidPart::gap});
  for (const LaidTrack& track : three)
    for (const LaidBead& bead : track.beads)
      CHECK(near(bead.width_mm, track.part == LaidPart::outline ? 0.4 : 0.486, 0.002));
  CHECK(parts_of(lay(bar(3))) == std::set{LaidPart::outline, LaidPart::inner, LaidPart::fill});
}

TEST_CASE("maker: bars of any width are covered to their sides, and not beyond") {
  for (double width_mm = 0.25; width_mm < 4; width_mm += 0.15) {
    CAPTURE(width_mm);
    const Region shape = turned(bar(width_mm), 20);
    const Region laid = printed(lay(shape));
    CHECK(area_mm2(without(laid, shape)) < 0.03);
    // Round ends and corners leave less than the corners of a square of its width, or of two nozzles' width.
    const double corner_mm = std::min(width_mm, 0.8);
    CHECK(area_mm2(without(shape, laid)) < (4 - pi) * corner_mm * corner_mm / 4 + 0.05);
    CHECK(laid.size() == 1);
    CHECK(near(narrowest_stroke(laid)->width_mm, width_mm, 0.01));
  }
}

TEST_CASE("maker: a dot is a short bead of its width") {
  const std::vector<LaidTrack> tracks = lay({{circle(0.3, {7, 7}), {}}});
  REQUIRE(tracks.size() == 1);
  REQUIRE(tracks.front().beads.size() == 1);
  CHECK(near(tracks.front().beads.front().width_mm, 0.6, 0.001));
}

TEST_CASE("maker: letters are covered where they are thick enough; beads stay within the outline" *
          doctest::skip(no_outlines())) {
  for (const FaceFile& file : known_faces()) {
    const Face face(file);
    double outline_mm2 = 0;
    double laid_mm2 = 0;
    double beyond_mm2 = 0;
    for (const char character : std::string("AEGKMQRSWaegkmstwy3458&%")) {
      const Region outline = face.glyph(character, 12).region;
      const Region laid = printed(lay(outline));
      outline_mm2 += area_mm2(outline);
      laid_mm2 += area_mm2(laid);
      beyond_mm2 += area_mm2(without(laid, outline));
    }
    INFO(file.name);
    CHECK(laid_mm2 > 0.96 * outline_mm2);
    CHECK(laid_mm2 < outline_mm2);
    CHECK(beyond_mm2 < 0.005 * outline_mm2);
  }
}

TEST_CASE("maker: what is thicker than two beads keeps its narrowest stroke" * doctest::skip(no_outlines())) {
  const Face face(known_faces().at(0));
  for (const char character : std::string("AEGHMRSWaeghmsw2358&")) {
    CAPTURE(character);
    const Region outline = face.glyph(character, 12).region;
    const double drawn_mm = narrowest_stroke(outline, 0.8)->width_mm;
    if (drawn_mm <= 0.8) continue;
    CHECK(near(narrowest_stroke(printed(lay(outline)))->width_mm, drawn_mm, std::max(0.03, 0.1 * drawn_mm)));
  }
}

TEST_CASE("setting: turned, mirrored, on a circle or in lines, letters keep their area and narrowest stroke" *
          doctest::skip(no_outlines())) {
  const Face face(known_faces().at(2));
  const std::string text = "Quince 7";
  const std::vector<Region> straight = set_in(face, text, 8, {.at = {10, 10}});
  for (const TextSetting& setting :
       {TextSetting{.at = {10, 10}, .angle_deg = 33}, TextSetting{.at = {90, 10}, .mirrored = true},
        TextSetting{.at = {50, 50}, .circle_radius_mm = 25},
        TextSetting{.at = {50, 50}, .angle_deg = 120, .mirrored = true, .circle_radius_mm = 25}}) {
    const std::vector<Region> other = set_in(face, text, 8, setting);
    REQUIRE(other.size() == straight.size());
    for (std::size_t i = 0; i < other.size(); ++i) {
      CHECK(near(area_mm2(other[i]), area_mm2(straight[i]), 0.01));
      CHECK(near(narrowest_stroke(other[i])->width_mm, narrowest_stroke(straight[i])->width_mm, 0.001));
    }
  }
}

TEST_CASE("setting: lines stand one below the other, letters on a circle one radius from its centre") {
  const auto advance_mm = [](char) { return 4.0; };
  const std::vector<PlacedGlyph> lines =
      set_text("AB\nC", advance_mm, {.at = {10, 20}, .angle_deg = 90, .line_pitch_mm = 9});
  REQUIRE(lines.size() == 3);
  CHECK(lines[2].line == 1);
  CHECK(near(lines[1].placement({0, 0}).x, 10, 1e-9));
  CHECK(near(lines[1].placement({0, 0}).y, 24, 1e-9));
  CHECK(near(lines[2].placement({0, 0}).x, 19, 1e-9));
  for (const bool mirrored : {false, true})
    for (const PlacedGlyph& glyph :
         set_text("ABC", advance_mm, {.at = {50, 50}, .mirrored = mirrored, .circle_radius_mm = 20})) {
      const PlanePoint middle = glyph.placement({2, 0});
      const PlanePoint above = glyph.placement({2, 3});
      CHECK(near(std::hypot(middle.x - 50, middle.y - 50), 20, 1e-9));
      CHECK(near(std::hypot(above.x - 50, above.y - 50), 23, 1e-9));
    }
}

TEST_CASE("G-code: each bead is read back as wide as it was laid, with and without comments") {
  for (const bool comments : {true, false}) {
    std::vector<LaidTrack> laid = lay(bar(0.3));
    for (const double width_mm : {0.15, 0.25, 0.6, 1.2})
      laid.push_back({LaidPart::stroke, {{{1, 5 * width_mm}, {7.123456, 5 * width_mm + 2}, width_mm}}});
    const std::string gcode = letter_gcode({{0.1, {{0, laid}}}}, {.comments = comments});
    CHECK((gcode.find(';') != std::string::npos) == comments);
    const Followed followed = follow(gcode);
    REQUIRE(followed.layers.size() == 1);
    const std::vector<LaidBead> beads = beads_of(laid);
    REQUIRE(followed.layers.front().beads.size() == beads.size());
    for (std::size_t i = 0; i < beads.size(); ++i) {
      const Bead& read = followed.layers.front().beads[i];
      CHECK(near(read.width_mm, beads[i].width_mm, 0.001));
      CHECK((read.role == BeadRole::outer_perimeter) == comments);
    }
  }
}

TEST_CASE("G-code: letters on a plate, sunk into it and laid into it by a second tool") {
  const Region plate = rectangular(20, 12, {10, 10});
  const std::vector<Region> letters{rectangular(1, 6, {14, 13}), rectangular(0.6, 6, {20, 13})};
  const double letters_mm2 = area_mm2(letters[0]) + area_mm2(letters[1]);
  const PlateStyle plates{.plate_layers = 1, .letter_layers = 2};
  const auto printed_layer = [](const std::vector<LaidLayer>& layers, std::size_t layer, std::size_t tool) {
    return area_mm2(printed(layers.at(layer).tools.at(tool).tracks));
  };
  const std::vector<LaidLayer> on_top = raised(lay_each(letters), plate, plates);
  REQUIRE(on_top.size() == 3);
  CHECK(near(printed_layer(on_top, 0, 0), 240, 0.3));
  CHECK(near(printed_layer(on_top, 1, 0), letters_mm2, 0.3));
  const std::vector<LaidLayer> holes = sunk(letters, plate, plates);
  CHECK(near(printed_layer(holes, 0, 0), 240, 0.3));
  CHECK(near(printed_layer(holes, 2, 0), 240 - letters_mm2, 0.5));
  const std::vector<LaidLayer> inlay = inlaid(letters, plate, plates);
  CHECK(near(printed_layer(inlay, 2, 1), letters_mm2, 0.3));
  const Followed followed = follow(letter_gcode(inlay, {.lift_mm = 0.4}));
  REQUIRE(followed.layers.size() == 3);
  std::set<int> tools;
  for (const Bead& bead : followed.layers.back().beads) tools.insert(bead.tool);
  CHECK(tools == std::set{0, 1});
}

TEST_CASE("G-code: letters of an upright wall stand out of it in the layers that they are high") {
  const std::vector<Region> letters{rectangular(0.8, 5, {14, 2}), rectangular(0.8, 3, {20, 2})};
  const std::vector<LaidLayer> layers = upright(letters, 2, 0.8);
  // 9 mm to the top in layers of 0.2 mm; the letters from 2 mm to 5 and to 7 mm.
  REQUIRE(layers.size() == 45);
  const auto in_front_mm = [&](std::size_t layer) {
    const Region front = rectangular(30, 3, {5, -3.005});
    return area_mm2(common(printed(layers.at(layer).tools.front().tracks), front));
  };
  CHECK(near(in_front_mm(5), 0, 0.01));
  CHECK(near(in_front_mm(15), 2 * 0.8 * 0.8, 0.3));
  CHECK(near(in_front_mm(30), 0.8 * 0.8, 0.15));
  CHECK(near(in_front_mm(40), 0, 0.01));
}

}  // namespace
}  // namespace beadwise::tests
