#include "report/strip_scale.hpp"

#include <doctest/doctest.h>

#include "support/near.hpp"

using namespace beadwise;
using namespace beadwise::tests;

TEST_CASE("ticks stand at round times, few enough for a phone") {
  const std::vector<StripTick> ticks = ticks_of(StripAxis::time, 0, 4325);
  REQUIRE(ticks.size() == 4);  // 0, 20, 40 and 60 min
  CHECK(ticks[0].label == "0 s");
  CHECK(ticks[1].label == "20 min");
  CHECK(ticks[3].label == "1 h");
  CHECK(near(ticks[3].share, 3600.0 / 4325, 1e-9));
  for (const double length : {0.5, 9.0, 100.0, 3600.0, 90'000.0, 1e7})
    CHECK(ticks_of(StripAxis::time, 0, length).size() <= 6);
}

TEST_CASE("a print of four days has a tick for each") {
  const std::vector<StripTick> ticks = ticks_of(StripAxis::time, 0, 97.5 * 3600);
  REQUIRE(ticks.size() == 5);
  CHECK(ticks[1].label == "24 h");
  CHECK(ticks[4].label == "96 h");
}

TEST_CASE("ticks along the filament are lengths") {
  const std::vector<StripTick> ticks = ticks_of(StripAxis::filament, 0, 3420);
  REQUIRE(ticks.size() == 4);
  CHECK(ticks[1].label == "1 m");
}

TEST_CASE("a strip without length has no ticks") { CHECK(ticks_of(StripAxis::time, 0, 0).empty()); }
