#include "analyse/name_objects.hpp"

#include <doctest/doctest.h>

#include "support/print.hpp"
#include "support/stacked.hpp"

using namespace beadwise;
using namespace beadwise::tests;

namespace {

/// A skirt around two labels of three layers.
ObjectStack two_labels() {
  auto job = print();
  job.layer(0.2).perimeter(rectangle(100, 40, {20, 20}));
  for (int i = 0; i < 3; ++i) {
    if (i > 0) job.layer(0.2);
    job.fill(30, 20, {30, 30}, 0.45).fill(30, 20, {80, 30}, 0.45);
  }
  ObjectStack stack;
  for_each_stack(job.gcode(), [&](const LayerStack& layer) { stack.on_stack(layer); });
  stack.finish();
  return stack;
}

Finding finding_at(const std::vector<Place>& places) {
  Finding finding;
  for (const Place& place : places) finding.places.add(place);
  return finding;
}

Place at(double x, double y, double z) {
  return {.line = 1, .layer = 1, .x_mm = x, .y_mm = y, .z_mm = z, .has_position = true};
}

std::vector<std::uint32_t> named(const std::vector<Place>& places) {
  std::vector<Finding> findings = {finding_at(places)};
  name_objects(two_labels(), findings);
  return findings[0].objects;
}

using Numbers = std::vector<std::uint32_t>;

}  // namespace

TEST_CASE("a finding names the objects that its places lie on, in order and once") {
  REQUIRE(two_labels().objects().size() == 3);
  CHECK(named({at(90, 40, 0.2)}) == Numbers{3});
  CHECK(named({at(90, 40, 0.2), at(40, 40, 0.4), at(41, 40, 0.6)}) == Numbers{2, 3});
}

TEST_CASE("a skirt, a place between the objects, high over them or without position names none") {
  CHECK(named({at(20, 30, 0.2)}).empty());
  CHECK(named({at(70, 40, 0.2)}).empty());
  CHECK(named({at(40, 40, 2)}) == Numbers{2});
  CHECK(named({at(40, 40, 20)}).empty());
  Place unknown = at(40, 40, 0.2);
  unknown.has_position = false;
  CHECK(named({unknown}).empty());
  Place before_any_bead = at(40, 40, 0.2);
  before_any_bead.layer = 0;
  CHECK(named({before_any_bead}).empty());
}
