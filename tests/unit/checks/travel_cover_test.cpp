#include "checks/support/travel_cover.hpp"

#include <doctest/doctest.h>

#include <functional>
#include <string>
#include <vector>

#include "support/near.hpp"
#include "support/print.hpp"
#include "support/stacked.hpp"

using namespace beadwise;
using namespace beadwise::checks;
using namespace beadwise::tests;

namespace {

void last_passage(const std::string& gcode, const std::function<void(const IndexedLayer&, const Passage&)>& look) {
  bool shown = false;
  for_each_stack(gcode, [&](const LayerStack& stack) {
    if (shown) return;
    std::optional<Passage> last;
    for_each_passage(stack.layer, [&](const Passage& passage) { last = passage; });
    shown = true;
    REQUIRE(last);
    look(stack.layer, *last);
  });
  CHECK(shown);
}

double length_mm(Span span, const Travel& travel) { return (span.to - span.from) * plane_mm(travel); }

// Three strokes along Y, 0.45 mm wide, at X 10, 20 and 30; the head is at the end of the one that is named last.
std::string strokes(const std::string& then) {
  return "M83\nG1 F6000\nG1 X10 Y0 Z0.2\nG1 Y20 E0.67698\nG1 X20\nG1 Y0 E0.67698\nG1 X30\nG1 Y20 E0.67698\n" + then;
}

}  // namespace

TEST_CASE("a travel is cut with the beads laid before it") {
  // Back from the third stroke, at Y 10, over the second and beyond the first.
  last_passage(strokes("G1 X26 Y10\nG1 X4 Y10\nG1 Y12 E0.06770\n"),
               [](const IndexedLayer& layer, const Passage& passage) {
                 REQUIRE(passage.travels.size() == 2);
                 const Travel& travel = passage.travels[1];
                 TravelCover cover;
                 const std::vector<Covered>& parts = cover.laid(layer, passage, travel, {0, 1});
                 REQUIRE(parts.size() == 2);
                 CHECK(parts[0].bead == 1);
                 CHECK(parts[1].bead == 0);
                 // Square across: as long as the bead is wide, in the middle of the way from 26 to 4.
                 CHECK(near(length_mm(parts[0].span, travel), 0.45, 2e-3));
                 CHECK(near((parts[0].span.from + parts[0].span.to) / 2, 6.0 / 22, 1e-3));
                 CHECK(near((parts[1].span.from + parts[1].span.to) / 2, 16.0 / 22, 1e-3));
               });
}

TEST_CASE("only the part that is asked for is cut, in shares of the whole travel") {
  last_passage(strokes("G1 X26 Y10\nG1 X4 Y10\nG1 Y12 E0.06770\n"),
               [](const IndexedLayer& layer, const Passage& passage) {
                 TravelCover cover;
                 const std::vector<Covered>& parts = cover.laid(layer, passage, passage.travels[1], {0.5, 1});
                 REQUIRE(parts.size() == 1);
                 CHECK(parts[0].bead == 0);
                 CHECK(near((parts[0].span.from + parts[0].span.to) / 2, 16.0 / 22, 1e-3));
               });
}

TEST_CASE("beads laid later, the bead that it leaves and the places around start and goal are not crossed") {
  // Along the third stroke itself, then to the second, which it lands on.
  last_passage(strokes("G1 X30 Y2\nG1 X20 Y10\nG1 X16 E0.13540\n"),
               [](const IndexedLayer& layer, const Passage& passage) {
                 TravelCover cover;
                 for (const Travel& travel : passage.travels) CHECK(cover.laid(layer, passage, travel, {0, 1}).empty());
               });
  // Over a place where a bead is laid only afterwards.
  const std::string job =
      "M83\nG1 F6000\nG1 X0 Y0 Z0.2\nG1 Y5 E0.16925\nG1 X20 Y5\nG1 X25 E0.16925\nG1 X10 Y0\n"
      "G1 Y10 E0.33849\n";
  bool looked = false;
  for_each_stack(job, [&](const LayerStack& stack) {
    const Passage passage = passage_at(stack.layer, 0);
    TravelCover cover;
    CHECK(cover.laid(stack.layer, passage, passage.travels[0], {0, 1}).empty());
    looked = true;
  });
  CHECK(looked);
}

TEST_CASE("a travel that stays at one end of its passage crosses nothing") {
  last_passage(strokes("G1 X30.3 Y20.3\nG1 X40 Y20\nG1 X50 E0.33849\n"),
               [](const IndexedLayer&, const Passage& passage) {
                 CHECK(stays_near_ends(passage, passage.travels[0]));
                 CHECK(!stays_near_ends(passage, passage.travels[1]));
               });
}

TEST_CASE("what no bead covers and no outline surrounds is open") {
  last_passage(strokes("G1 X30 Y10\nG1 X0 Y10\nG1 Y12 E0.06770\n"),
               [](const IndexedLayer& layer, const Passage& passage) {
                 TravelCover cover;
                 const Travel& travel = passage.travels[1];
                 const std::vector<OpenPart>& parts = cover.open(layer, travel, 1);
                 REQUIRE(parts.size() == 3);
                 // 10 mm from stroke to stroke, less half a bead at each.
                 for (const OpenPart& part : parts) CHECK(near(length_mm(part.span, travel), 9.55, 3e-3));
                 CHECK(parts[0].bead_before == 2U);
                 CHECK(parts[0].bead_after == 1U);
                 CHECK(parts[2].bead_before == 0U);
                 // The goal's own bead, laid after the travel, covers its end.
                 CHECK(parts[2].bead_after == 3U);
                 CHECK(cover.open(layer, travel, 9.6).empty());
               });
}

TEST_CASE("inside an outline nothing is open, whether infill lies there or not") {
  // Two layers of a square of 20 mm with a sparse fill; back to the middle of it, and from there out.
  Print job = print();
  job.start();
  for (int layer = 0; layer < 2; ++layer)
    job.layer(0.2)
        .perimeter(square(20, {100, 100}))
        .fill(19.2, 18, {100.4, 101}, 6)
        .travel_to(110, 110)
        .bead_to({110, 110.5})
        .travel_to(130, 110.5)
        .bead_to({135, 110.5});
  std::vector<double> open_mm;
  for_each_stack(job.finish().gcode(), [&](const LayerStack& stack) {
    TravelCover cover;
    for_each_passage(stack.layer, [&](const Passage& passage) {
      double mm = 0;
      for (const Travel& travel : passage.travels)
        for (const OpenPart& part : cover.open(stack.layer, travel, 1)) mm += length_mm(part.span, travel);
      open_mm.push_back(mm);
    });
  });
  REQUIRE(open_mm.size() >= 3);
  // To the fill; from its end at Y 119 back to the middle, over strokes that are 6 mm apart.
  CHECK(near(open_mm[0], 0, 1e-9));
  CHECK(near(open_mm[1], 0, 1e-9));
  // From the wall at X 120 to the next stroke at X 130, less half a bead at each.
  CHECK(near(open_mm[2], 9.55, 5e-3));
}
