#include <doctest/doctest.h>

#include "beadwise/job.hpp"

using namespace beadwise;

namespace {

ObjectFigures object(std::uint32_t number, std::uint32_t first_layer, std::uint32_t last_layer) {
  ObjectFigures figures;
  figures.object = number;
  figures.first_layer = first_layer;
  figures.last_layer = last_layer;
  return figures;
}

}  // namespace

TEST_CASE("skirts and prime lines are not worth naming beside parts") {
  const auto named = named_objects({object(1, 1, 1), object(2, 1, 2), object(3, 1, 3), object(4, 40, 80)});
  REQUIRE(named.size() == 2);
  CHECK(named[0].object == 3);
  CHECK(named[1].object == 4);
}

TEST_CASE("where nothing has more than two layers, all are parts") {
  CHECK(named_objects({object(1, 1, 1), object(2, 1, 2)}).size() == 2);
  CHECK(named_objects({}).empty());
}

TEST_CASE("hundreds of pieces without height are crumbs, not parts") {
  std::vector<ObjectFigures> crumbs;
  for (std::uint32_t number = 1; number <= 65; ++number) crumbs.push_back(object(number, 1, 1));
  CHECK(named_objects(crumbs).empty());
  crumbs.pop_back();
  CHECK(named_objects(crumbs).size() == 64);
}
