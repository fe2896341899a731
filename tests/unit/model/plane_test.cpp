#include "model/plane.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "support/near.hpp"

using namespace beadwise;
using beadwise::tests::near;

TEST_CASE("a segment across a bead is inside it for the bead's width") {
  // Reach 0.225 mm around a 10 mm piece: a line of 2 mm across its middle is inside for 0.45 of 2 mm.
  const auto part = part_within({5, -1}, {5, 1}, {0, 0}, {10, 0}, 0.225);
  REQUIRE(part);
  CHECK(near(part->from, (1 - 0.225) / 2, 1e-12));
  CHECK(near(part->to, (1 + 0.225) / 2, 1e-12));
}

TEST_CASE("a bead ends in a half circle") {
  // 0.1 mm beyond the end of the piece the half chord is sqrt(0.25² - 0.1²) = 0.229129 mm.
  const auto part = part_within({10.1, -1}, {10.1, 1}, {0, 0}, {10, 0}, 0.25);
  REQUIRE(part);
  CHECK(near((part->to - part->from) * 2, 2 * std::sqrt(0.0625 - 0.01), 1e-12));
  CHECK_FALSE(part_within({10.26, -1}, {10.26, 1}, {0, 0}, {10, 0}, 0.25));
}

TEST_CASE("a segment along a bead is inside it from end cap to end cap") {
  const auto part = part_within({-5, 0.15}, {15, 0.15}, {0, 0}, {10, 0}, 0.25);
  REQUIRE(part);
  // Caps reach sqrt(0.25² - 0.15²) = 0.2 mm beyond the piece.
  CHECK(near(part->from * 20 - 5, -0.2, 1e-9));
  CHECK(near(part->to * 20 - 5, 10.2, 1e-9));
  CHECK_FALSE(part_within({-5, 0.26}, {15, 0.26}, {0, 0}, {10, 0}, 0.25));
}

TEST_CASE("a place is a segment without length") {
  CHECK(part_within({3, 0.1}, {3, 0.1}, {0, 0}, {10, 0}, 0.25));
  CHECK_FALSE(part_within({3, 0.3}, {3, 0.3}, {0, 0}, {10, 0}, 0.25));
  CHECK(part_within({-1, 0}, {1, 0}, {0, 0}, {0, 0}, 0.25)->to == doctest::Approx(0.625));
}

TEST_CASE("the distance of two segments is 0 where they cross, else that of the nearest ends") {
  CHECK(squared_distance_mm2({0, 0}, {2, 2}, {0, 2}, {2, 0}) == 0);
  // 3-4-5: (10, 0) to (13, 4)
  CHECK(near(squared_distance_mm2({0, 0}, {10, 0}, {13, 4}, {20, 9}), 25, 1e-12));
  CHECK(near(squared_distance_mm2({0, 0}, {10, 0}, {2, 0.4}, {8, 0.4}), 0.16, 1e-12));
  CHECK(near(squared_distance_mm2({7, 3}, {0, 0}, {10, 0}), 9, 1e-12));
}
