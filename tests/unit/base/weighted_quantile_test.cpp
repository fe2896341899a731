#include "base/weighted_quantile.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <random>
#include <vector>

using namespace beadwise;

namespace {

double by_sorting(std::vector<Weighted> values, double share) {
  std::sort(values.begin(), values.end(), [](const Weighted& a, const Weighted& b) { return a.value < b.value; });
  double total = 0;
  for (const Weighted& one : values) total += one.weight;
  double sum = 0;
  for (const Weighted& one : values) {
    sum += one.weight;
    if (sum >= share * total) return one.value;
  }
  return values.back().value;
}

double of(std::vector<Weighted> values, double share) { return weighted_quantile(values, share); }

}  // namespace

TEST_CASE("half of the printed length lies at or below the weighted median") {
  // 10 mm at 0.2 and 30 mm at 0.3: the middle, at 20 mm, lies at 0.3
  CHECK(of({{0.3, 30}, {0.2, 10}}, 0.5) == 0.3);
  CHECK(of({{0.3, 10}, {0.2, 30}}, 0.5) == 0.2);
  CHECK(of({{0.2, 1}, {0.3, 1}}, 0.5) == 0.2);  // exactly half lies at 0.2
  CHECK(of({{0.25, 4}}, 0.9) == 0.25);
  CHECK(of({}, 0.5) == 0);
}

TEST_CASE("a weighted quantile is the one that sorting gives") {
  std::mt19937 random(20);
  for (std::size_t count : {2U, 3U, 10U, 101U, 2000U}) {
    for (int kinds : {1, 3, 1000}) {
      std::vector<Weighted> values;
      // Whole numbers as weights, so that no order of adding makes a difference.
      for (std::size_t i = 0; i < count; ++i)
        values.push_back(
            {static_cast<double>(random() % static_cast<unsigned>(kinds)), 1.0 + static_cast<double>(random() % 5)});
      for (const double share : {0.1, 0.25, 0.5, 0.9, 1.0}) CHECK(of(values, share) == by_sorting(values, share));
    }
  }
}
