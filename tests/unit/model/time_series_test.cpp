#include "model/time_series.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "support/near.hpp"
#include "support/print.hpp"

using namespace beadwise;
using beadwise::tests::Dice;
using beadwise::tests::near;

TEST_CASE("a series tells mean, least and most of each step of time") {
  TimeSeries series;
  // From 0 to 10 within 0.2 s: 0 to 5 in the first step of 0.1 s, 5 to 10 in the second.
  series.add(0, 0.2, 0, 10);
  const auto rows = series.rows();
  REQUIRE(rows.size() == 2);
  CHECK(near(rows[0].mean, 2.5, 1e-12));
  CHECK(near(rows[0].most, 5, 1e-12));
  CHECK(near(rows[1].least, 5, 1e-12));
  CHECK(near(rows[1].mean, 7.5, 1e-12));
}

TEST_CASE("a long job makes no more rows than a short one, and nothing of the total is lost") {
  TimeSeries series;
  Dice dice(3);
  double total = 0;
  double time_s = 0;
  double most = 0;
  for (int i = 0; i < 50'000; ++i) {
    const double first = static_cast<double>(dice.roll(20));
    const double last = static_cast<double>(dice.roll(20));
    const double duration_s = 0.01 + static_cast<double>(dice.roll(100)) / 50;
    series.add(time_s, duration_s, first, last);
    total += (first + last) / 2 * duration_s;
    most = std::max({most, first, last});
    time_s += duration_s + (i % 7 == 0 ? 0.5 : 0);
  }
  const auto rows = series.rows();
  CHECK(rows.size() <= TimeSeries::most_rows);
  double sum = 0;
  double highest = 0;
  for (const SeriesRow& row : rows) {
    sum += row.mean * row.step_s;
    highest = std::max(highest, row.most);
  }
  CHECK(near(sum, total, 1e-6 * total));
  CHECK(near(highest, most, 1e-6));  // times of 50 000 s are exact to 1e-11 s, and slopes reach 2000 per s
}

TEST_CASE("of a quantity that is known now and then, steps without a value are left out") {
  TimeSeries series;
  series.add_point(0.02, 200);
  series.add_point(0.05, 190);
  series.add_point(0.95, 180);
  const auto rows = series.rows();
  REQUIRE(rows.size() == 2);
  CHECK(near(rows[0].mean, 195, 1e-12));
  CHECK(near(rows[0].least, 190, 1e-12));
  CHECK(near(rows[1].start_s, 0.9, 1e-12));
}
