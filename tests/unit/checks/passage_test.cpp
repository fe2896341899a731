#include "checks/support/passage.hpp"

#include <doctest/doctest.h>

#include <functional>
#include <string>
#include <vector>

#include "support/near.hpp"
#include "support/stacked.hpp"

using namespace beadwise;
using namespace beadwise::checks;
using namespace beadwise::tests;

namespace {

/// The passages of the first layer of a job with beads 0.45 mm wide and 0.2 mm high: 0.0338 mm of filament each mm.
void first_layer(const std::string& moves, const std::function<void(const IndexedLayer&, std::vector<Passage>)>& look) {
  bool shown = false;
  for_each_stack("M83\nG1 F6000\n" + moves, [&](const LayerStack& stack) {
    if (shown) return;
    shown = true;
    std::vector<Passage> passages;
    for_each_passage(stack.layer, [&](const Passage& passage) { passages.push_back(passage); });
    look(stack.layer, passages);
  });
  CHECK(shown);
}

// Two strokes along X, 10 mm long, 20 mm from each other in Y.
const std::string first_stroke = "G1 X10 Y10 Z0.2\nG1 X20 E0.33849\n";
const std::string second_stroke = "G1 X30 E0.33849\n";

Travel travel(Point from, Point to) {
  Travel travel;
  travel.from_mm = from;
  travel.to_mm = to;
  return travel;
}

}  // namespace

TEST_CASE("a passage is all travels from one bead to the next") {
  first_layer(first_stroke + "G1 X25 Y15\nG1 E-1\nG1 Z0.6\nG1 X20 Y30\nG1 Z0.2\nG1 E1\n" + second_stroke,
              [](const IndexedLayer& layer, const std::vector<Passage>& passages) {
                REQUIRE(layer.islands.size() == 2);
                REQUIRE(passages.size() == 1);
                const Passage& passage = passages[0];
                CHECK(passage.travels.size() == 2);
                CHECK(passage.last_bead == 0);
                CHECK(passage.start_island == 0);
                CHECK(passage.goal_bead == 1U);
                CHECK(passage.goal_island == 1U);
                CHECK(near(passage.start.x, 20, 1e-9));
                CHECK(near(passage.goal.y, 30, 1e-9));
                // 1.5 bead widths of 0.45 mm.
                CHECK(near(passage.start_reach_mm, 0.675, 1e-3));
                CHECK(near(passage.goal_reach_mm, 0.675, 1e-3));
              });
}

TEST_CASE("passages follow each other, each with the beads laid before it") {
  first_layer(first_stroke + "G1 X20 Y30\n" + second_stroke + "G1 X40\nG1 X50 E0.33849\nG1 X60\n",
              [](const IndexedLayer&, const std::vector<Passage>& passages) {
                REQUIRE(passages.size() == 3);
                CHECK(passages[0].last_bead == 0);
                CHECK(passages[1].last_bead == 1);
                CHECK(passages[2].last_bead == 2);
                CHECK(!passages[2].goal_bead);
                CHECK(!passages[2].goal_island);
              });
}

TEST_CASE("the way to the next layer leads to the bead that the goal lies over") {
  first_layer(first_stroke + "G1 X20 Y30\n" + second_stroke + "G1 Z0.4\nG1 X10 Y10\nG1 X20 E0.33849\n",
              [](const IndexedLayer&, const std::vector<Passage>& passages) {
                REQUIRE(passages.size() == 2);
                CHECK(passages[1].last_bead == 1);
                CHECK(passages[1].goal_bead == 0U);
                CHECK(passages[1].goal_island == 0U);
              });
}

TEST_CASE("the part of a travel between two heights") {
  const Travel level = travel({0, 0, 1}, {10, 0, 1});
  CHECK(part_between(level, 0.9, 1.1).has_value());
  CHECK(!part_between(level, 1.1, 2));
  // The ceiling itself is high enough, the floor is not too low.
  CHECK(!part_between(level, 0.5, 1));
  CHECK(part_between(level, 1, 2).has_value());
  const auto rising = part_between(travel({0, 0, 1}, {10, 0, 3}), 0.9, 1.5);
  REQUIRE(rising);
  CHECK(near(rising->from, 0, 1e-12));
  CHECK(near(rising->to, 0.25, 1e-12));
  const auto falling = part_between(travel({0, 0, 3}, {10, 0, 1}), 1.5, 2);
  REQUIRE(falling);
  CHECK(near(falling->from, 0.5, 1e-12));
  CHECK(near(falling->to, 0.75, 1e-12));
  CHECK(!part_between(travel({0, 0, 3}, {10, 0, 2}), 0, 1.5));
}

TEST_CASE("a width without a plausible reading is a usual one, and none is wider than a nozzle's face") {
  Bead bead;
  bead.width_mm = 0.6;
  CHECK(near(width_mm_of(bead), 0.6, 1e-12));
  bead.width_mm = std::nan("");
  CHECK(near(width_mm_of(bead), 0.45, 1e-12));
  bead.width_mm = 50;
  CHECK(near(width_mm_of(bead), 2, 1e-12));
}
