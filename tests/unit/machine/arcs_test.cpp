#include "machine/arcs.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "support/near.hpp"

using namespace beadwise;
using beadwise::tests::near;

namespace {

constexpr double pi = std::numbers::pi;

ArcCommand to(const Point& from, const Point& to, bool clockwise) {
  ArcCommand command;
  command.from_mm = from;
  command.to_mm = to;
  command.clockwise = clockwise;
  command.has_end_point = true;
  return command;
}

ArcCommand around(ArcCommand command, double i, double j) {
  command.i_mm = i;
  command.j_mm = j;
  command.has_offset = true;
  return command;
}

ArcCommand by_radius(ArcCommand command, double r) {
  command.r_mm = r;
  command.has_radius = true;
  return command;
}

}  // namespace

TEST_CASE("an arc by its centre: the example of the RS-274 report") {
  // NISTIR 6556, section 3.5.3.2: G17 G2 x 10 y 16 i 3 j 4 z 9 at X7 Y7: centre 10, 11; radius 5.
  const ArcSolution arc = solve_arc(around(to({7, 7, 9}, {10, 16, 9}, true), 3, 4));
  REQUIRE(arc.trouble.empty());
  CHECK(near(arc.arc.center_mm[0], 10, 1e-12));
  CHECK(near(arc.arc.center_mm[1], 11, 1e-12));
  CHECK(near(arc.arc.radius_mm, 5, 1e-12));
  // From the direction (−3, −4) to (0, 5), with the clock: π/2 + atan(3/4) of a turn is the way round by the left.
  CHECK(near(arc.arc.sweep_rad, -(pi - std::atan2(3, 4)), 1e-12));
}

TEST_CASE("an arc by its radius: the example of the RS-274 report") {
  // NISTIR 6556, section 3.5.3.1: G17 G2 x 10 y 15 r 20 z 5 ends at 10, 15, 5; a helix if Z was not 5.
  const ArcSolution flat = solve_arc(by_radius(to({0, 0, 5}, {10, 15, 5}, true), 20));
  REQUIRE(flat.trouble.empty());
  CHECK(near(flat.arc.radius_mm, 20, 1e-12));
  CHECK(std::abs(flat.arc.sweep_rad) < pi);
  const Point end = point_on_arc(flat.arc, {0, 0, 5}, {10, 15, 5}, 1);
  CHECK(near(end.x, 10, 1e-9));
  CHECK(near(end.y, 15, 1e-9));
  const ArcSolution helix = solve_arc(by_radius(to({0, 0, 2}, {10, 15, 5}, true), 20));
  CHECK(near(helix.path_mm, std::hypot(flat.path_mm, 3), 1e-9));
}

TEST_CASE("a negative radius goes the long way round") {
  const ArcSolution shorter = solve_arc(by_radius(to({0, 0, 0}, {10, 0, 0}, false), 10));
  const ArcSolution longer = solve_arc(by_radius(to({0, 0, 0}, {10, 0, 0}, false), -10));
  CHECK(near(std::abs(shorter.arc.sweep_rad), pi / 3, 1e-12));
  CHECK(near(std::abs(longer.arc.sweep_rad), 2 * pi - pi / 3, 1e-12));
}

TEST_CASE("arcs that cannot be say why") {
  // NISTIR 6556, section 3.5.3.1: `G2 X0 Y0 R5` at 0, 0 and `G2 R5` are errors.
  CHECK_FALSE(solve_arc(by_radius(to({0, 0, 0}, {0, 0, 0}, true), 5)).trouble.empty());
  ArcCommand no_end = by_radius(to({0, 0, 0}, {0, 0, 0}, true), 5);
  no_end.has_end_point = false;
  CHECK_FALSE(solve_arc(no_end).trouble.empty());
  CHECK_FALSE(solve_arc(by_radius(to({0, 0, 0}, {30, 0, 0}, true), 10)).trouble.empty());
  CHECK_FALSE(solve_arc(to({0, 0, 0}, {30, 0, 0}, true)).trouble.empty());
  CHECK_FALSE(solve_arc(around(to({0, 0, 0}, {30, 0, 0}, true), 0, 0)).trouble.empty());
}

TEST_CASE("start and end radius may differ by what rounding to three decimals gives") {
  // The printers' dialect allows 0.05 mm where the report allows 0.002 mm (NISTIR 6556, section 3.5.3.2).
  CHECK(solve_arc(around(to({0, 0, 0}, {10.003, 0, 0}, true), 5, 0)).trouble.empty());
  CHECK(solve_arc(around(to({0, 0, 0}, {10.04, 0, 0}, true), 5, 0)).trouble.empty());
  CHECK_FALSE(solve_arc(around(to({0, 0, 0}, {10.06, 0, 0}, true), 5, 0)).trouble.empty());
}

TEST_CASE("a centre without an end point is a full turn, with a climb if Z is named") {
  ArcCommand command = around(to({10, 0, 0}, {10, 0, 0.4}, false), -10, 0);
  command.has_end_point = false;
  const ArcSolution arc = solve_arc(command);
  REQUIRE(arc.trouble.empty());
  CHECK(near(arc.arc.sweep_rad, 2 * pi, 1e-12));
  CHECK(near(arc.path_mm, std::hypot(2 * pi * 10, 0.4), 1e-9));
}

TEST_CASE("arcs run in all three planes, clockwise as seen from the positive end of the third axis") {
  // NISTIR 6556, section 3.5.3: XY with I and J, XZ with I and K, YZ with J and K.
  struct Row {
    std::uint8_t plane;
    Point from, to;
    double i, j, k;
    Point quarter;  ///< half-way along the half turn, against the clock
  };
  // Right-handed axes: X→Y, Z→X, Y→Z turn against the clock.
  const Row rows[] = {{17, {1, 0, 0}, {-1, 0, 0}, -1, 0, 0, {0, 1, 0}},
                      {18, {0, 0, 1}, {0, 0, -1}, 0, 0, -1, {1, 0, 0}},
                      {19, {0, 1, 0}, {0, -1, 0}, 0, -1, 0, {0, 0, 1}}};
  for (const Row& row : rows) {
    CAPTURE(row.plane);
    ArcCommand command = around(to(row.from, row.to, false), row.i, row.j);
    command.k_mm = row.k;
    command.plane = row.plane;
    const ArcSolution arc = solve_arc(command);
    REQUIRE(arc.trouble.empty());
    const Point middle = point_on_arc(arc.arc, row.from, row.to, 0.5);
    CHECK(near(middle.x, row.quarter.x, 1e-12));
    CHECK(near(middle.y, row.quarter.y, 1e-12));
    CHECK(near(middle.z, row.quarter.z, 1e-12));
  }
}
