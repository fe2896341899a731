#include "model/object_map.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <string>

#include "support/followed.hpp"
#include "support/near.hpp"

using namespace beadwise;
using beadwise::tests::follow;
using beadwise::tests::near;

namespace {

std::string square(double x, double y) {
  return fmt::format("G0 X{} Y{}\nG1 X{} E0.3\nG1 Y{} E0.3\nG1 X{} E0.3\nG1 Y{} E0.3\n", x, y, x + 10, y + 10, x, y);
}

std::vector<ObjectFigures> objects_of(const std::string& gcode) {
  ObjectMap map;
  for (const Layer& layer : follow(gcode).layers) map.on_layer(layer);
  return map.objects();
}

const std::string head = "M83\nG1 F1800\n";

}  // namespace

TEST_CASE("beads that touch, on any layer, are one object; objects are numbered as they begin") {
  const auto objects =
      objects_of(head + "G0 Z0.2\n" + square(50, 0) + square(0, 0) + "G0 Z0.4\n" + square(50, 0) + square(0, 0));
  REQUIRE(objects.size() == 2);
  CHECK(near(objects[0].x_mm.low, 50, 1e-9));
  CHECK(near(objects[0].x_mm.high, 60, 1e-9));
  CHECK(objects[0].beads == 8);
  CHECK(objects[1].last_layer == 2);
  CHECK(near(objects[1].extruding_path_mm, 80, 1e-9));
}

TEST_CASE("an object that begins as two pieces and grows together is one") {
  const auto objects = objects_of(head + "G0 Z0.2\n" + square(0, 0) + square(20, 0) + "G0 Z0.4\nG0 X0 Y5\nG1 X30 E1\n");
  REQUIRE(objects.size() == 1);
  CHECK(objects[0].beads == 9);
}

TEST_CASE("an object of arcs is as wide as its arcs") {
  // A circle of radius 10 mm in two half turns: its ends alone would have no height.
  const auto objects = objects_of(head + "G0 X10 Y0 Z0.2\nG3 X-10 Y0 I-10 J0 E1\nG3 X10 Y0 I10 J0 E1\n");
  REQUIRE(objects.size() == 1);
  CHECK(near(objects[0].y_mm.high, 10, 0.02));
  CHECK(near(objects[0].y_mm.low, -10, 0.02));
}
