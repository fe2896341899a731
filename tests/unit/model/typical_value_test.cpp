#include "model/typical_value.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>

using beadwise::TypicalValue;

TEST_CASE("half of the length lies below the typical value") {
  TypicalValue width_mm;
  width_mm.add(0.3, 10);
  width_mm.add(0.45, 50);
  width_mm.add(2, 30);
  CHECK(width_mm.median() == doctest::Approx(0.45).epsilon(0.005));
}

TEST_CASE("a hundred short pieces weigh less than one long one") {
  TypicalValue width_mm;
  for (int i = 0; i < 100; ++i) width_mm.add(1.2, 0.1);
  width_mm.add(0.4, 11);
  CHECK(width_mm.median() == doctest::Approx(0.4).epsilon(0.005));
}

TEST_CASE("what is no width is left out") {
  TypicalValue width_mm;
  width_mm.add(std::numeric_limits<double>::quiet_NaN(), 10);
  width_mm.add(0, 10);
  width_mm.add(-1, 10);
  CHECK(width_mm.empty());
  CHECK(std::isnan(width_mm.median()));
}
