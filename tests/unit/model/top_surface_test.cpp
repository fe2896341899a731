#include "model/top_surface.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <string>

#include "model/layer_stack.hpp"
#include "support/near.hpp"
#include "support/print.hpp"
#include "support/stacked.hpp"

using namespace beadwise;
using beadwise::tests::Dice;
using beadwise::tests::near;

namespace {

/// A layer that lies at a height, of straight beads and arcs as they are added.
struct Laid {
  IndexedLayer indexed;

  Bead& bead(Point from, Point to, double width_mm) {
    Bead bead;
    bead.from_mm = from;
    bead.to_mm = to;
    bead.path_mm = std::hypot(to.x - from.x, to.y - from.y);
    bead.width_mm = width_mm;
    bead.height_mm = 0.2F;
    bead.area_mm2 = 0.1;
    indexed.layer.beads.push_back(bead);
    return indexed.layer.beads.back();
  }

  const IndexedLayer& built() {
    constexpr double widest_mm = 10;
    indexed.index.build(indexed.layer, widest_mm, 0.45);
    return indexed;
  }
};

TopSurface surface_of(Laid laid) {
  TopSurface top;
  top.raise(laid.built());
  return top;
}

/// Middle of the cell that a place lies in.
double middle(double place_mm) { return (std::floor(place_mm / 0.5) + 0.5) * 0.5; }

}  // namespace

TEST_CASE("the bare plate is at height 0, far away too") {
  const TopSurface top;
  CHECK(top.at({10, 10}) == 0);
  CHECK(top.at({1e9, -1e300}) == 0);
  CHECK(top.highest_mm() == 0);
}

TEST_CASE("a cell is as high as the bead that covers its middle: random rounded rectangles against the distance") {
  Dice dice(20240611);
  const auto within = [&](double low, double high) {
    constexpr std::uint64_t steps = 100000;
    return low + (high - low) * static_cast<double>(dice.roll(steps)) / static_cast<double>(steps);
  };
  int covered = 0;
  for (int round = 0; round < 300; ++round) {
    Laid laid;
    const bool upright = round % 10 == 0;
    const bool level = round % 10 == 1;
    const bool dot = round % 10 == 2;
    const Point from{within(-40, 40), within(-40, 40), 0.2};
    Point to{within(-40, 40), within(-40, 40), 0.2};
    if (upright || dot) to.x = from.x;
    if (level || dot) to.y = from.y;
    const double width_mm = within(0.6, 8);
    laid.bead(from, to, width_mm);
    const TopSurface top = surface_of(laid);
    for (int i = 0; i < 400; ++i) {
      const PlanePoint place{middle(within(-50, 50)), middle(within(-50, 50))};
      const double distance_mm = std::sqrt(squared_distance_mm2(place, {from.x, from.y}, {to.x, to.y}));
      // Places of beads are kept to a few millionths of a millimetre.
      if (std::abs(distance_mm - width_mm / 2) < 1e-4) continue;
      const bool expected = distance_mm < width_mm / 2;
      covered += expected ? 1 : 0;
      REQUIRE((top.at(place) > 0.1) == expected);
    }
  }
  CHECK(covered > 1000);
}

TEST_CASE("the area of a large bead is the number of its cells") {
  // A bead of 10 mm x 6 mm with round ends: 60 + pi 9 = 88.27 mm2, 353 cells of a quarter of a square millimetre.
  Laid laid;
  laid.bead({3.1, 4.3, 0.2}, {11.1, 10.3, 0.2}, 6);
  const TopSurface top = surface_of(laid);
  int cells = 0;
  for (double x = -4.75; x < 20; x += 0.5)
    for (double y = -4.75; y < 20; y += 0.5) cells += top.at({x, y}) > 0 ? 1 : 0;
  CHECK(near(cells * 0.25, 88.27, 1));
}

TEST_CASE("a wall of one bead never slips between the middles of the cells") {
  // 0.45 mm at any place and angle: every row that it crosses shows it.
  for (int offset = 0; offset < 50; ++offset) {
    const double x = 20 + offset * 0.01;
    Laid laid;
    laid.bead({x, 0, 5}, {x, 10, 5}, 0.45);
    const TopSurface top = surface_of(laid);
    for (double y = 0.75; y < 9.5; y += 0.5) {
      const Obstacle obstacle = top.over({15, y, 1}, {25, y, 1}, 0.1);
      REQUIRE(obstacle.length_mm >= 0.5 - 1e-9);
      REQUIRE(obstacle.length_mm <= 1 + 1e-9);
      REQUIRE(near(obstacle.at_mm.x, x, 0.5));
    }
  }
}

TEST_CASE("a strand narrower than high is no wall") {
  Laid laid;
  laid.bead({20.25, 0, 0.2}, {20.25, 10, 0.2}, 0.1).height_mm = 0.2F;
  laid.bead({30.5, 0, 0.2}, {30.5, 10, 0.2}, 0.1).height_mm = 0.2F;
  const TopSurface top = surface_of(laid);
  CHECK(near(top.at({20.25, 5}), 0.2, 1e-6));
  CHECK(top.at({30.25, 5}) == 0);
  CHECK(top.at({30.75, 5}) == 0);
}

TEST_CASE("filament that only fills the nozzle again is not printed") {
  Laid laid;
  laid.bead({0, 5, 0.2}, {10, 5, 0.2}, 0.5).area_mm2 = 0;
  CHECK(surface_of(laid).at({5, 5}) == 0);
}

TEST_CASE("a bead that climbs is as high as it is there") {
  Laid laid;
  laid.bead({0, 10.25, 0.2}, {10, 10.25, 2.2}, 1);
  const TopSurface top = surface_of(laid);
  // 2 mm over 10 mm: 0.2 + 0.2 * 4.75 in the cell whose middle is at 4.75 mm.
  CHECK(near(top.at({4.75, 10.25}), 1.15, 1e-6));
  CHECK(near(top.at({9.75, 10.25}), 2.15, 1e-6));
  CHECK(top.highest_mm() == 2.2);
}

TEST_CASE("an arc is where it runs") {
  // Half a turn of radius 10 mm around (50, 50), from the right over the top to the left.
  Laid laid;
  Bead& bead = laid.bead({60, 50, 0.2}, {40, 50, 0.2}, 1.2);
  bead.arc = 0;
  laid.indexed.layer.arcs.push_back(
      {.center_mm = {50, 50}, .radius_mm = 10, .start_rad = 0, .sweep_rad = std::acos(-1.0)});
  const TopSurface top = surface_of(laid);
  CHECK(near(top.at({50.25, 60.25}), 0.2, 1e-6));
  CHECK(near(top.at({57.25, 57.25}), 0.2, 1e-6));
  CHECK(top.at({50.25, 50.25}) == 0);
  CHECK(top.at({50.25, 39.75}) == 0);
}

TEST_CASE("what was printed first and higher stays: objects one after another") {
  using tests::print;
  using tests::square;
  auto job = print();
  for (int i = 0; i < 20; ++i) job.layer(0.2).fill(10, 10, {10, 10}, 0.45);
  job.line("; the second object").line("G1 Z0.2");
  const std::string gcode = job.gcode() + "M83\nG1 Z0.2\nG1 X60 Y10.25 F1800\nG1 X70 E0.4\n";
  double tower_mm = 0;
  double second_mm = 1;
  tests::for_each_stack(gcode, [&](const LayerStack& stack) {
    tower_mm = stack.before.at({15, 15});
    second_mm = stack.before.at({65, 10.25});
  });
  CHECK(near(tower_mm, 4, 1e-6));
  CHECK(second_mm == 0);
}

TEST_CASE("what a motion runs into: how long, how deep, where") {
  // A block of 10 mm, 4 mm high, and one of 2 mm behind it.
  Laid laid;
  laid.bead({20, 25, 4}, {30, 25, 4}, 10);
  laid.bead({50, 25, 2}, {60, 25, 2}, 10);
  const TopSurface top = surface_of(laid);
  // At 1 mm through both: from 15 to 35 (the round ends reach 5 mm further) and from 45 to 65.
  const Obstacle low = top.over({0, 25.25, 1}, {100, 25.25, 1}, 0.1);
  CHECK(near(low.length_mm, 40, 1));
  CHECK(near(low.deepest_mm, 3, 1e-6));
  CHECK(low.at_mm.x > 14.5);
  CHECK(low.at_mm.x < 35.5);
  CHECK(low.at_mm.z == 1);
  // At 3 mm through the higher alone; at 4.2 over all; at 3.95 within the margin.
  CHECK(near(top.over({0, 25.25, 3}, {100, 25.25, 3}, 0.1).length_mm, 20, 0.5));
  CHECK(top.over({0, 25.25, 4.2}, {100, 25.25, 4.2}, 0.1).length_mm == 0);
  CHECK(top.over({0, 25.25, 3.95}, {100, 25.25, 3.95}, 0.1).length_mm == 0);
  // Rising from 0 to 10 mm over 100 mm: at 1.5 mm where it meets the first block, which it leaves at 3.5 mm; at 4.5 mm
  // where it meets the second.
  const Obstacle rising = top.over({0, 25.25, 0}, {100, 25.25, 10}, 0.1);
  CHECK(near(rising.length_mm, 20, 0.5));
  CHECK(near(rising.deepest_mm, 2.5, 0.05));
  CHECK(near(rising.at_mm.x, 15, 0.5));
}

TEST_CASE("what lies in fewer layers than asked for is no obstacle") {
  // A wall of two layers, whose beads overlap, and one of three.
  TopSurface top;
  for (const double z : {0.2, 0.4, 0.6}) {
    Laid laid;
    for (double x = 20; x < 24; x += 0.45)
      if (z < 0.5) laid.bead({x, 0, z}, {x, 10, z}, 0.5);
    for (double x = 40; x < 44; x += 0.45) laid.bead({x, 0, z}, {x, 10, z}, 0.5);
    top.raise(laid.built());
  }
  const auto length_mm = [&](double x, std::uint32_t layers) {
    return top.over({x - 10, 5.25, 0}, {x + 10, 5.25, 0}, 0.1, layers).length_mm;
  };
  CHECK(near(length_mm(22, 1), 4, 1));
  CHECK(near(length_mm(22, 2), 4, 1));
  CHECK(length_mm(22, 3) == 0);
  CHECK(near(length_mm(42, 3), 4, 1));
  CHECK(length_mm(42, 4) == 0);
}

TEST_CASE("a wall that climbs in a spiral is as many layers as it has turns") {
  // Ten turns of 0.2 mm around a ring of 72 chords: laid as beads that climb.
  TopSurface top;
  const double step_rad = std::acos(-1.0) / 36;
  for (int turn = 0; turn < 10; ++turn) {
    Laid laid;
    for (int chord = 0; chord < 72; ++chord) {
      const auto at = [&](int i) {
        return Point{50 + 10 * std::cos(i * step_rad), 50 + 10 * std::sin(i * step_rad), 0.2 * (turn + i / 72.0)};
      };
      laid.bead(at(chord), at(chord + 1), 0.5);
    }
    top.raise(laid.built());
  }
  CHECK(top.over({30, 50, 0}, {70, 50, 0}, 0.1, 8).length_mm > 0.9);
  CHECK(top.over({30, 50, 0}, {70, 50, 0}, 0.1, 15).length_mm == 0);
}

TEST_CASE("beyond the reach of the grid the plate counts as bare, and nothing breaks") {
  Laid laid;
  laid.bead({2040, 5, 1}, {9000, 5, 1}, 2);
  laid.bead({-1e9, -1e9, 1}, {1e9, 1e9, 1}, 2);
  const TopSurface top = surface_of(laid);
  CHECK(near(top.at({2044, 5}), 1, 1e-6));
  CHECK(top.at({3000, 5}) == 0);
  CHECK(top.over({2500, 5, 0}, {1e12, 5, 0}, 0.1).length_mm == 0);
}

TEST_CASE("a square metre printed on is remembered, no more") {
  // A spot in each of 1200 tiles of 32 mm by 32 mm, more than the 1024 tiles: the first are kept.
  Laid laid;
  for (int i = 0; i < 1200; ++i) {
    const double x = -1000 + (i % 40) * 32 + 16;
    const double y = -1000 + (i / 40) * 32 + 16;
    laid.bead({x - 1, y, 1}, {x + 1, y, 1}, 2);
  }
  const TopSurface top = surface_of(laid);
  CHECK(near(top.at({-1000 + 16, -1000 + 16}), 1, 1e-6));
  CHECK(top.at({-1000 + 39 * 32 + 16, -1000 + 29 * 32 + 16}) == 0);
}
