#include <doctest/doctest.h>

#include <algorithm>
#include <limits>
#include <random>

#include "beadwise/finding.hpp"

using namespace beadwise;

namespace {

Place at_line(std::uint64_t line, double value) {
  Place place;
  place.line = line;
  place.value = value;
  return place;
}

}  // namespace

TEST_CASE("of a thousand places the twenty worst are kept, worst first") {
  Places places;
  for (std::uint64_t line = 1; line <= 1000; ++line) places.add(at_line(line, static_cast<double>(line * 37 % 1000)));
  const std::vector<Place> worst = places.worst();
  CHECK(places.count() == 1000);
  REQUIRE(worst.size() == max_places);
  // 37 and 1000 share no factor, so the values are 0 to 999, each once.
  for (std::size_t rank = 0; rank < worst.size(); ++rank) CHECK(worst[rank].value == 999.0 - static_cast<double>(rank));
  CHECK(places.worst_value() == 999);
}

TEST_CASE("of equally bad places the earlier line comes first") {
  Places places;
  for (std::uint64_t line = 100; line >= 1; --line) places.add(at_line(line, 5));
  const std::vector<Place> worst = places.worst();
  REQUIRE(worst.size() == max_places);
  CHECK(worst.front().line == 1);
  CHECK(worst.back().line == 20);
  CHECK(places.first_line() == 1);
  CHECK(places.last_line() == 100);
}

TEST_CASE("the places kept do not depend on the order in which they came") {
  std::vector<Place> shuffled;
  for (std::uint64_t line = 1; line <= 300; ++line) shuffled.push_back(at_line(line, static_cast<double>(line % 7)));
  Places forward;
  for (const Place& place : shuffled) forward.add(place);
  std::mt19937 random(20240611);
  std::shuffle(shuffled.begin(), shuffled.end(), random);
  Places mixed;
  for (const Place& place : shuffled) mixed.add(place);
  REQUIRE(forward.worst().size() == mixed.worst().size());
  for (std::size_t i = 0; i < max_places; ++i) CHECK(forward.worst()[i].line == mixed.worst()[i].line);
}

TEST_CASE("spans leave out places without line, layer or position") {
  Places places;
  places.add(at_line(0, 1));
  CHECK(places.first_line() == 0);
  CHECK_FALSE(places.has_box());
  Place place = at_line(40, 1);
  place.layer = 3;
  place.has_position = true;
  place.x_mm = -5;
  place.y_mm = 10;
  place.z_mm = 0.6;
  places.add(place);
  place.line = 30;
  place.layer = 2;
  place.x_mm = 7;
  place.z_mm = 0.4;
  places.add(place);
  CHECK(places.first_line() == 30);
  CHECK(places.last_line() == 40);
  CHECK(places.first_layer() == 2);
  CHECK(places.last_layer() == 3);
  REQUIRE(places.has_box());
  CHECK(places.low(0) == -5);
  CHECK(places.high(0) == 7);
  CHECK(places.low(1) == 10);
  CHECK(places.high(1) == 10);
  CHECK(places.low(2) == 0.4);
  CHECK(places.high(2) == 0.6);
}

TEST_CASE("a position or a value that is no number spoils nothing") {
  Places places;
  Place lost = at_line(7, std::numeric_limits<double>::quiet_NaN());
  lost.has_position = true;
  lost.x_mm = std::numeric_limits<double>::infinity();
  places.add(lost);
  places.add(at_line(9, -3));
  CHECK_FALSE(places.has_box());
  REQUIRE(places.worst().size() == 2);
  CHECK(places.worst().front().line == 9);
  CHECK_FALSE(places.worst().back().has_position);
  CHECK(places.worst_value() == -3);
}

TEST_CASE("places added together are as if each had been added") {
  Places all;
  Places halves[2];
  for (std::uint64_t line = 1; line <= 60; ++line) {
    Place place = at_line(line, static_cast<double>(line * 7 % 60));
    place.layer = static_cast<std::uint32_t>(line / 10);
    place.has_position = line % 3 == 0;
    place.x_mm = static_cast<double>(line);
    all.add(place);
    halves[line % 2].add(place);
  }
  Places together;
  together.add(halves[1]);
  together.add(halves[0]);
  together.add(Places{});
  CHECK(together.count() == 60);
  CHECK(together.first_line() == all.first_line());
  CHECK(together.last_line() == all.last_line());
  CHECK(together.first_layer() == all.first_layer());
  CHECK(together.last_layer() == all.last_layer());
  CHECK(together.low(0) == all.low(0));
  CHECK(together.high(0) == all.high(0));
  const std::vector<Place> expected = all.worst();
  const std::vector<Place> found = together.worst();
  REQUIRE(found.size() == expected.size());
  for (std::size_t i = 0; i < found.size(); ++i) CHECK(found[i].line == expected[i].line);
}
