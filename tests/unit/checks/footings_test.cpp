#include "checks/support/footings.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <numbers>
#include <string>
#include <vector>

#include "support/near.hpp"
#include "support/print.hpp"
#include "support/stacked.hpp"

using namespace beadwise;
using checks::Footing;
using checks::Footings;
using tests::near;
using tests::Print;
using tests::print;

namespace {

constexpr double bead_mm = 0.45;
constexpr double layer_mm = 0.2;

struct Followed {
  std::vector<Footing> joined;
  std::vector<Footing> standing;
};

Followed follow(const std::string& gcode) {
  Footings footings;
  Followed followed;
  tests::for_each_stack(gcode, [&](const LayerStack& stack) {
    for (const Footing& one : footings.on_stack(stack)) followed.joined.push_back(one);
  });
  followed.standing = footings.standing();
  return followed;
}

/// One layer of a solid block whose outer edges are `width_mm` and `depth_mm` long.
void lay_block(Print& path, double width_mm, double depth_mm, tests::PlanePoint low) {
  const double inner_width_mm = width_mm - bead_mm;
  const double inner_depth_mm = depth_mm - bead_mm;
  const tests::PlanePoint middle_line{low.x + bead_mm / 2, low.y + bead_mm / 2};
  path.perimeter(tests::rectangle(inner_width_mm, inner_depth_mm, middle_line));
  path.fill(inner_width_mm - 2 * bead_mm, inner_depth_mm - 2 * bead_mm,
            {middle_line.x + bead_mm, middle_line.y + bead_mm}, bead_mm);
}

bool within(double measured, double expected, double ratio) { return near(measured, expected, ratio * expected); }

}  // namespace

TEST_CASE("a square tower stands on its square: area a², section modulus a³/6 across and a³/(6√2) over the corner") {
  Print path = print().start();
  // 10.35 = 23 beads of 0.45 mm.
  for (int layer = 0; layer < 10; ++layer) {
    path.layer(layer_mm);
    lay_block(path, 10.35, 10.35, {50, 50});
  }
  const Followed followed = follow(path.gcode());
  CHECK(followed.joined.empty());
  REQUIRE(followed.standing.size() == 1);
  const Footing& tower = followed.standing.front();
  CHECK(near(tower.height_mm, 2.0, 1e-6));
  CHECK(within(tower.contact.area_mm2, 10.35 * 10.35, 0.03));
  CHECK(within(tower.longest_mm(), 10.35 * std::numbers::sqrt2, 0.03));
  CHECK(tower.covered_ratio() > 0.96);
  CHECK(within(tower.section_modulus_mm3(), 10.35 * 10.35 * 10.35 / 6 / std::numbers::sqrt2, 0.05));
}

TEST_CASE("a round rod stands on its circle: section modulus π d³/32") {
  Print path = print().start();
  for (int layer = 0; layer < 20; ++layer) {
    path.layer(layer_mm);
    // Four rings of 0.45 mm and a bead in the middle: 3.6 mm across the outermost edges.
    for (const double radius_mm : {0.225, 0.675, 1.125, 1.575}) path.ring(radius_mm, {80, 60});
  }
  const Followed followed = follow(path.gcode());
  REQUIRE(followed.standing.size() == 1);
  const Footing& rod = followed.standing.front();
  CHECK(near(rod.height_mm, 4.0, 1e-6));
  CHECK(within(rod.contact.area_mm2, std::numbers::pi * 3.6 * 3.6 / 4, 0.02));
  CHECK(within(rod.section_modulus_mm3(), std::numbers::pi * 3.6 * 3.6 * 3.6 / 32, 0.04));
  // The outline of 16 tangents around a circle is larger than it by 16/π tan(π/16) = 1.013.
  CHECK(near(rod.covered_ratio(), 1 / 1.013, 0.02));
}

TEST_CASE("two posts that a deck joins are told with the height at which each stood alone") {
  Print path = print().start();
  for (int layer = 0; layer < 15; ++layer) {
    path.layer(layer_mm);
    lay_block(path, 4.5, 4.5, {40, 40});
    lay_block(path, 4.5, 4.5, {60, 40});
  }
  for (int layer = 0; layer < 3; ++layer) {
    path.layer(layer_mm);
    lay_block(path, 24.75, 4.5, {40, 40});
  }
  const Followed followed = follow(path.gcode());
  REQUIRE(followed.joined.size() == 2);
  for (const Footing& post : followed.joined) {
    CHECK(near(post.height_mm, 15 * layer_mm, 1e-6));
    CHECK(within(post.contact.area_mm2, 4.5 * 4.5, 0.04));
  }
  REQUIRE(followed.standing.size() == 1);
  const Footing& both = followed.standing.front();
  CHECK(near(both.height_mm, 18 * layer_mm, 1e-6));
  CHECK(within(both.contact.area_mm2, 2 * 4.5 * 4.5, 0.04));
  CHECK(within(both.longest_mm(), 24.5, 0.05));
}

TEST_CASE("a small post under a large plate joins it, though the plate has many beads") {
  Print path = print().start();
  for (int layer = 0; layer < 10; ++layer) {
    path.layer(layer_mm);
    lay_block(path, 40.5, 40.5, {40, 40});
    lay_block(path, 1.8, 1.8, {85.5, 60});
  }
  for (int layer = 0; layer < 2; ++layer) {
    path.layer(layer_mm);
    lay_block(path, 49.5, 40.5, {40, 40});
  }
  const Followed followed = follow(path.gcode());
  CHECK(followed.joined.size() == 2);
  CHECK(followed.standing.size() == 1);
}

TEST_CASE("towers side by side stay apart, and each has its own height") {
  Print path = print().start();
  for (int layer = 0; layer < 12; ++layer) {
    path.layer(layer_mm);
    lay_block(path, 4.5, 4.5, {40, 40});
    if (layer < 5) lay_block(path, 4.5, 4.5, {50, 40});
  }
  const Followed followed = follow(path.gcode());
  CHECK(followed.joined.empty());
  REQUIRE(followed.standing.size() == 2);
  CHECK(near(followed.standing[0].height_mm, 12 * layer_mm, 1e-6));
  CHECK(near(followed.standing[1].height_mm, 5 * layer_mm, 1e-6));
}

TEST_CASE("a pin that stands in a hollow is none of the wall's around it") {
  Print path = print().start();
  for (int layer = 0; layer < 12; ++layer) {
    path.layer(layer_mm);
    path.perimeter(tests::square(30, {40, 40}));
    if (layer < 8) lay_block(path, 2.25, 2.25, {52, 52});
  }
  const Followed followed = follow(path.gcode());
  CHECK(followed.joined.empty());
  REQUIRE(followed.standing.size() == 2);
  CHECK(near(followed.standing[0].height_mm, 12 * layer_mm, 1e-6));
  CHECK(near(followed.standing[1].height_mm, 8 * layer_mm, 1e-6));
}

TEST_CASE("strands 2 mm apart cover a fifth of their outline") {
  Print path = print().start();
  path.layer(layer_mm);
  path.fill(40, 40, {40, 40}, 2);
  for (int layer = 0; layer < 2; ++layer) {
    path.layer(layer_mm);
    lay_block(path, 36, 36, {42, 42});
  }
  const Followed followed = follow(path.gcode());
  REQUIRE(followed.standing.size() == 1);
  // 21 strands of 40 mm and 20 ways of 2 mm, 0.45 mm wide, on 40.45 × 40.45 mm.
  CHECK(within(followed.standing.front().covered_ratio(), 0.45 * (21 * 40 + 20 * 2) / (40.45 * 40.45), 0.05));
}

TEST_CASE("what begins in the air stands on nothing") {
  Print path = print().start();
  for (int layer = 0; layer < 6; ++layer) {
    path.layer(layer_mm);
    lay_block(path, 4.5, 4.5, {40, 40});
    lay_block(path, 4.5, 4.5, {60, 60});
    if (layer > 3) lay_block(path, 4.5, 4.5, {80, 40});
  }
  CHECK(follow(path.gcode()).standing.size() == 2);
}

TEST_CASE("a brim belongs to the foot, and how much of it is brim is known") {
  Print path = print().start();
  for (int layer = 0; layer < 6; ++layer) {
    path.layer(layer_mm);
    if (layer == 0) {
      path.line("; brim");
      for (const double out_mm : {1.8, 1.35, 0.9, 0.45})
        path.perimeter(tests::square(4.05 + 2 * out_mm, {40.225 - out_mm, 40.225 - out_mm}));
      path.line("; outer perimeter");
    }
    lay_block(path, 4.5, 4.5, {40, 40});
  }
  const Followed followed = follow(path.gcode());
  REQUIRE(followed.standing.size() == 1);
  const Footing& tower = followed.standing.front();
  CHECK(within(tower.contact.area_mm2, 8.1 * 8.1, 0.04));
  CHECK(near(tower.brim_mm, 4 * (7.65 + 6.75 + 5.85 + 4.95), 0.01));
}

TEST_CASE("loops 0.2 mm off a part are its brim, loops 3 mm off are not") {
  for (const double gap_mm : {0.2, 3.0}) {
    Print path = print().start();
    for (int layer = 0; layer < 6; ++layer) {
      path.layer(layer_mm);
      if (layer == 0)
        for (const double out_mm : {1.35, 0.9, 0.45}) {
          const double off_mm = out_mm + gap_mm;
          path.perimeter(tests::square(4.05 + 2 * off_mm, {40.225 - off_mm, 40.225 - off_mm}));
        }
      lay_block(path, 4.5, 4.5, {40, 40});
    }
    const Followed followed = follow(path.gcode());
    INFO(gap_mm);
    CHECK(followed.joined.empty());
    if (gap_mm > 1) {
      REQUIRE(followed.standing.size() == 2);
      CHECK(followed.standing[0].skirt_mm > 0);
      CHECK(followed.standing[1].brim_mm == 0);
    } else {
      REQUIRE(followed.standing.size() == 1);
      CHECK(followed.standing[0].brim_mm > 60);
      CHECK(near(followed.standing[0].height_mm, 6 * layer_mm, 1e-6));
    }
  }
}

TEST_CASE("towers printed one after the other stand apart") {
  Print path = print().start();
  for (int layer = 0; layer < 6; ++layer) {
    path.layer(layer_mm);
    lay_block(path, 4.5, 4.5, {40, 40});
  }
  std::string gcode = path.gcode();
  Print second = print();
  for (int layer = 0; layer < 9; ++layer) {
    second.layer(layer_mm);
    lay_block(second, 4.5, 4.5, {70, 40});
  }
  const Followed followed = follow(gcode + "G0 Z5\n" + second.gcode());
  REQUIRE(followed.standing.size() == 2);
  CHECK(near(followed.standing[0].height_mm, 6 * layer_mm, 1e-6));
  CHECK(near(followed.standing[1].height_mm, 9 * layer_mm, 1e-6));
}
