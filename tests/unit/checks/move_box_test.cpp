#include "checks/support/move_box.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace beadwise;

TEST_CASE("a straight move's box lies between its ends") {
  Move move;
  move.from_mm = {3, 8, 1};
  move.to_mm = {7, 2, 1};
  const Box box = checks::box_of(move, nullptr);
  CHECK(box.low.x == 3);
  CHECK(box.high.x == 7);
  CHECK(box.low.y == 2);
  CHECK(box.high.y == 8);
}

TEST_CASE("an arc bulges past its ends") {
  // Half a turn about (10, 10) with radius 5, from (10, 5) over (15, 10) to (10, 15).
  Move move;
  move.from_mm = {10, 5, 0};
  move.to_mm = {10, 15, 0};
  const Arc arc{
      .center_mm = {10, 10}, .radius_mm = 5, .start_rad = -std::numbers::pi / 2, .sweep_rad = std::numbers::pi};
  const Box box = checks::box_of(move, &arc);
  CHECK(box.high.x == doctest::Approx(15));
  CHECK(box.low.x == doctest::Approx(10));
  CHECK(box.low.y == doctest::Approx(5));
  CHECK(box.high.y == doctest::Approx(15));
}

TEST_CASE("many turns reach no farther than one") {
  Move move;
  move.from_mm = {15, 10, 0};
  move.to_mm = {15, 10, 4};
  const Arc arc{.center_mm = {10, 10}, .radius_mm = 5, .start_rad = 0, .sweep_rad = -40 * std::numbers::pi};
  const Box box = checks::box_of(move, &arc);
  CHECK(box.low.x == doctest::Approx(5));
  CHECK(box.low.y == doctest::Approx(5));
  CHECK(box.high.y == doctest::Approx(15));
  CHECK(box.high.z == 4);
}

TEST_CASE("an arc in the ZX plane bulges in Z") {
  // Over the top from (X 5, Z 10) to (X 15, Z 10): Z is the plane's first axis.
  Move move;
  move.from_mm = {5, 0, 10};
  move.to_mm = {15, 0, 10};
  const Arc arc{.center_mm = {10, 10},
                .radius_mm = 5,
                .start_rad = -std::numbers::pi / 2,
                .sweep_rad = std::numbers::pi,
                .plane = 18};
  CHECK(checks::box_of(move, &arc).high.z == doctest::Approx(15));
}
