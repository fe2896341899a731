#include "model/object_stack.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <string>

#include "support/near.hpp"
#include "support/print.hpp"
#include "support/stacked.hpp"

using namespace beadwise;
using beadwise::tests::for_each_stack;
using beadwise::tests::near;
using beadwise::tests::print;

namespace {

// Beads of 0.45 mm at 0.2 mm height take 0.0338488 mm of 1.75 mm filament for each mm.
constexpr double filament_per_mm = 0.0338488;

std::string stroke(double x, double y, double to_x, double to_y) {
  return fmt::format("G0 X{:.3f} Y{:.3f}\nG1 X{:.3f} Y{:.3f} E{:.5f}\n", x, y, to_x, to_y,
                     filament_per_mm * std::hypot(to_x - x, to_y - y));
}

/// A square of one bead.
std::string square(double x, double y, double side = 10) {
  return stroke(x, y, x + side, y) + stroke(x + side, y, x + side, y + side) + stroke(x + side, y + side, x, y + side) +
         stroke(x, y + side, x, y);
}

std::string at_z(double z) { return fmt::format("G0 Z{:.3f}\n", z); }

const std::string head = "M83\nG1 F1800\n";

ObjectStack stacked(const std::string& gcode) {
  ObjectStack objects;
  for_each_stack(gcode, [&](const LayerStack& stack) { objects.on_stack(stack); });
  objects.finish();
  return objects;
}

std::vector<ObjectFigures> objects_of(const std::string& gcode) { return stacked(gcode).objects(); }

}  // namespace

TEST_CASE("beads stacked on each other are one object; objects are numbered as they begin") {
  const auto objects = objects_of(head + at_z(0.2) + square(50, 0) + square(0, 0) + at_z(0.4) + square(50, 0) +
                                  square(0, 0) + at_z(0.6) + square(0, 0));
  REQUIRE(objects.size() == 2);
  CHECK(objects[0].object == 1);
  CHECK(near(objects[0].x_mm.low, 50, 1e-9));
  CHECK(near(objects[0].x_mm.high, 60, 1e-9));
  CHECK(near(objects[0].z_mm.low, 0.2, 1e-9));
  CHECK(near(objects[0].z_mm.high, 0.4, 1e-9));
  CHECK(objects[0].beads == 8);
  CHECK(objects[1].first_layer == 1);
  CHECK(objects[1].last_layer == 3);
  CHECK(near(objects[1].extruding_path_mm, 120, 1e-9));
  // 0.0814159 mm2 of cross-section over 120 mm.
  CHECK(near(objects[1].deposited_mm3, 9.7699, 1e-3));
  // 30 mm/s, with corners: longer than 4 s, not twice as long.
  CHECK(objects[1].bead_time_s > 4);
  CHECK(objects[1].bead_time_s < 8);
}

TEST_CASE("two plates 0.6 mm apart are two objects") {
  for (const double shift : {0.0, 0.1, 0.25, 0.4}) {
    // Middle lines 1.05 mm apart: beads of 0.45 mm leave 0.6 mm.
    std::string gcode = head;
    for (const double z : {0.2, 0.4, 0.6}) gcode += at_z(z) + square(30 + shift, 30) + square(41.05 + shift, 30);
    CHECK(objects_of(gcode).size() == 2);
  }
}

TEST_CASE("an arch on two towers is one object, carried by the ends of its beads alone") {
  std::string gcode = head;
  for (const double z : {0.2, 0.4, 0.6}) gcode += at_z(z) + square(0, 0) + square(30, 0);
  const auto towers = objects_of(gcode);
  REQUIRE(towers.size() == 2);
  const auto arch = objects_of(gcode + at_z(0.8) + stroke(10, 5, 30, 5));
  REQUIRE(arch.size() == 1);
  CHECK(arch[0].beads == 25);
  CHECK(arch[0].first_layer == 1);
  CHECK(near(arch[0].x_mm.high, 40, 1e-9));
}

TEST_CASE("what begins in the air and is joined later merges") {
  std::string gcode = head;
  for (const double z : {0.2, 0.4}) gcode += at_z(z) + square(0, 0);
  for (const double z : {0.6, 0.8}) gcode += at_z(z) + square(0, 0) + square(20, 0, 4);
  CHECK(objects_of(gcode).size() == 2);
  const auto joined = objects_of(gcode + at_z(1) + stroke(5, 0, 22, 0));
  REQUIRE(joined.size() == 1);
  CHECK(joined[0].beads == 4 * 4 + 2 * 4 + 1);
  CHECK(joined[0].first_layer == 1);
  CHECK(joined[0].last_layer == 5);
}

TEST_CASE("objects printed one after another") {
  std::string gcode = head;
  for (const double x : {0.0, 30.0, 60.0}) {
    for (int i = 1; i <= 20; ++i) gcode += at_z(0.2 * i) + square(x, 0);
    gcode += at_z(5);
  }
  const auto objects = objects_of(gcode);
  REQUIRE(objects.size() == 3);
  for (const ObjectFigures& object : objects) {
    CHECK(near(object.x_mm.low, 30 * (object.object - 1), 1e-9));
    CHECK(object.beads == 80);
    CHECK(near(object.z_mm.high, 4, 1e-9));
    CHECK(object.first_layer == 20 * (object.object - 1) + 1);
    CHECK(object.last_layer == 20 * object.object);
  }
}

TEST_CASE("a part over a support with a gap of one layer stands on it") {
  std::string gcode = head;
  for (const double z : {0.2, 0.4, 0.6}) gcode += at_z(z) + square(0, 0);
  gcode += at_z(1) + square(0, 0);
  CHECK(objects_of(gcode).size() == 1);
}

TEST_CASE("a wall of one bead that leans 60 degrees stays one object") {
  // Each layer 0.2 tan 60 = 0.346 mm beside the last: of a bead of 0.45 mm a quarter is carried.
  std::string gcode = head;
  for (int i = 0; i < 30; ++i) gcode += at_z(0.2 * (i + 1)) + square(0.346 * i, 0);
  CHECK(objects_of(gcode).size() == 1);
}

TEST_CASE("an object inside another is its own") {
  std::string gcode = head;
  for (const double z : {0.2, 0.4, 0.6, 0.8}) gcode += at_z(z) + square(0, 0, 40) + square(15, 15, 10);
  const ObjectStack stack = stacked(gcode);
  REQUIRE(stack.objects().size() == 2);
  CHECK(stack.object_at({0, 20}) == 1);
  CHECK(stack.object_at({15, 20}) == 2);
  CHECK(stack.object_at({20.3, 14.8}) == 2);
  // 5 mm from any bead.
  CHECK(stack.object_at({7.5, 20}) == 0);
  CHECK(stack.object_at({1e9, -1e300}) == 0);
}

TEST_CASE("an object of arcs is as wide as its arcs") {
  // A circle of radius 10 mm in two half turns: its ends alone would have no height.
  const auto objects = objects_of(head + "G0 X10 Y0 Z0.2\nG3 X-10 Y0 I-10 J0 E1\nG2 X10 Y0 I10 J0 E1\n" +
                                  "G0 X50 Y0\nG3 X50 Y0 I-10 J0 E2\n");
  REQUIRE(objects.size() == 2);
  CHECK(near(objects[0].y_mm.high, 10, 1e-9));
  CHECK(near(objects[0].y_mm.low, 0, 1e-9));
  CHECK(near(objects[1].y_mm.low, -10, 1e-9));
  CHECK(near(objects[1].x_mm.low, 30, 1e-9));
}

TEST_CASE("an island of many beads is carried where few of them are") {
  // A zigzag of 300 strokes over nothing, laid without a gap; one of them reaches over the tower.
  std::string gcode = head;
  for (const double z : {0.2, 0.4}) gcode += at_z(z) + square(0, 0, 2);
  const auto zigzag = [&](double left_of_one) {
    std::string all = gcode + at_z(0.6) + "G0 X20 Y-70\n";
    for (int i = 0; i < 300; ++i) {
      const double y = -70 + 0.5 * i;
      const double x = i % 2 == 1 ? 20 : i == 144 ? left_of_one : 10;
      all += fmt::format("G1 X{} Y{} E1\nG1 Y{} E0.02\n", x, y, y + 0.5);
    }
    return objects_of(all).size();
  };
  CHECK(zigzag(4) == 2);
  CHECK(zigzag(2) == 1);
}

TEST_CASE("what begins after 65536 others is no object") {
  std::string gcode = head + at_z(0.2);
  for (int i = 0; i < 65540; ++i) gcode += stroke(2 * (i % 300), 2 * (i / 300), 2 * (i % 300) + 1, 2 * (i / 300));
  gcode += at_z(0.4) + stroke(0, 0, 1, 0);
  const auto objects = objects_of(gcode);
  REQUIRE(objects.size() == 65536);
  CHECK(objects[0].beads == 2);
  CHECK(objects[65535].beads == 1);
}

TEST_CASE("without beads there are no objects") {
  CHECK(objects_of("G28\n").empty());
  CHECK(stacked("G28\n").object_at({0, 0}) == 0);
}
