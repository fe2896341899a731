#include "model/layer_builder.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <string>

#include "support/followed.hpp"
#include "support/near.hpp"
#include "support/print.hpp"

using namespace beadwise;
using beadwise::tests::follow;
using beadwise::tests::near;

namespace {

// Beads of 0.45 mm at 0.2 mm height take 0.0338488 mm of 1.75 mm filament for each mm.
std::string stroke(double x, double y, double length_mm, double height_factor = 1) {
  return fmt::format("G0 X{} Y{}\nG1 X{} E{:.5f}\n", x, y, x + length_mm, 0.0338488 * length_mm * height_factor);
}

std::string patch(double z, double x) {
  std::string gcode = fmt::format("G0 Z{}\n", z);
  for (int i = 0; i < 10; ++i) gcode += stroke(x, i, 20);
  return gcode;
}

const std::string head = "M83\nG1 F1800\n";

}  // namespace

TEST_CASE("a bead is as wide as the filament fed makes it at the height it lies") {
  const auto job = follow(head + patch(0.2, 0) + patch(0.4, 0));
  REQUIRE(job.layers.size() == 2);
  CHECK(near(job.layers[1].height_mm, 0.2, 1e-3));
  CHECK(near(job.layers[1].beads[3].width_mm, 0.45, 1e-3));
  CHECK(job.layers[0].on_plate);
  CHECK_FALSE(job.layers[1].on_plate);
}

TEST_CASE("a layer lies on what is below it, not on the layer before") {
  // A prime line at 0.3 mm beside the part, then the part's first layer at 0.2 mm; later a second object.
  const auto job = follow(head + "G0 Z0.3\n" + stroke(100, 50, 60) + patch(0.2, 0) + patch(0.4, 0) + patch(0.2, 60));
  REQUIRE(job.layers.size() == 4);
  CHECK(near(job.layers[1].height_mm, 0.2, 1e-3));
  CHECK(near(job.layers[2].height_mm, 0.2, 1e-3));
  CHECK(near(job.layers[3].height_mm, 0.2, 1e-3));
  CHECK(job.layers[3].on_plate);
}

TEST_CASE("a bridge does not make its layer thick") {
  // Two piers up to 0.6 mm; half of the layer at 0.8 mm spans the gap of 20 mm between them.
  std::string gcode = head;
  for (const double z : {0.2, 0.4, 0.6}) gcode += patch(z, 0) + patch(z, 40);
  gcode += "G0 Z0.8\n";
  for (int i = 0; i < 10; ++i) gcode += stroke(0, i, 60);
  const auto job = follow(gcode);
  CHECK(near(job.layers.back().height_mm, 0.2, 1e-3));
}

TEST_CASE("what pays back a retraction is not laid") {
  const auto job = follow(head + "G1 Z0.2\nG1 X10 E0.338488\nG1 E-1\nG1 X20 E1.338488\n");
  CHECK(near(job.layers[0].beads[1].area_mm2, job.layers[0].beads[0].area_mm2, 1e-9));
}

TEST_CASE("a deck across posts is as high as its step over them, not as it stands over the plate") {
  auto job = tests::print().start();
  for (int layer = 0; layer < 20; ++layer)
    job.layer(0.2).perimeter(tests::square(5, {100, 100})).perimeter(tests::square(5, {160, 100}));
  const auto followed = tests::follow(job.layer(0.2).perimeter(tests::rectangle(65, 5, {100, 100})).finish().gcode());
  REQUIRE(followed.layers.size() == 21);
  CHECK(near(followed.layers.back().height_mm, 0.2, 1e-6));
  CHECK_FALSE(followed.layers.back().on_plate);
}
