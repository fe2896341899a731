#include "machine/layer_splitter.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <string>

#include "support/followed.hpp"

using namespace beadwise;
using beadwise::tests::follow;

namespace {

std::uint32_t layers_of(const std::string& gcode) {
  std::uint32_t layers = 0;
  for (const Move& move : follow(gcode).batch.moves) layers = std::max(layers, move.layer);
  return layers;
}

std::string flat_layer(double z) { return fmt::format("G0 Z{}\nG1 X10 Y0 E1\nG1 X10 Y10 E1\nG1 X0 Y0 E1\n", z); }

// A climb around a polygon, from z by `climb` a turn.
std::string spiral(int sides, int turns, double z, double climb) {
  std::string gcode;
  for (int i = 1; i <= sides * turns; ++i) {
    const double angle = 2 * std::numbers::pi * i / sides;
    gcode += fmt::format("G1 X{:.3f} Y{:.3f} Z{:.5f} E0.1\n", 20 * std::cos(angle), 20 * std::sin(angle),
                         z + climb * i / sides);
  }
  return gcode;
}

const std::string head = "M83\nG1 F1800\n";

}  // namespace

TEST_CASE("a layer begins with the first bead at another height") {
  CHECK(layers_of(head + flat_layer(0.2) + flat_layer(0.4) + flat_layer(0.6)) == 3);
  // A lift during a travel begins none, nor does a micrometre.
  CHECK(layers_of(head + flat_layer(0.2) + "G0 Z0.8\nG0 X30\nG0 Z0.2\nG1 X40 E1\n") == 1);
  CHECK(layers_of(head + flat_layer(0.2) + flat_layer(0.2009)) == 1);
}

TEST_CASE("objects printed one after another have the same heights as different layers") {
  CHECK(layers_of(head + flat_layer(0.2) + flat_layer(0.4) + flat_layer(0.2) + flat_layer(0.4)) == 4);
}

TEST_CASE("a bead that climbs by more than 0.02 mm belongs to the layer of its end") {
  const std::string ramp = "G0 X0 Y0\nG1 X20 Z0.4 E1\n";
  CHECK(layers_of(head + flat_layer(0.2) + ramp + "G1 X30 E1\n") == 2);
}

TEST_CASE("in a spiral a layer ends after each layer height of climb, the last flat layer's") {
  // A base of 0.2 mm, then 12 turns of 0.2 mm: 1 + 12 layers, however finely the turn is cut.
  for (const int sides : {8, 40, 400}) {
    CAPTURE(sides);
    CHECK(layers_of(head + flat_layer(0.2) + spiral(sides, 12, 0.2, 0.2)) == 13);
  }
  // With turns of 0.1 mm two turns make a layer of the base's height.
  CHECK(layers_of(head + flat_layer(0.2) + spiral(40, 12, 0.2, 0.1)) == 7);
}

TEST_CASE("without a flat layer one turn's climb is a layer") {
  CHECK(layers_of(head + "G0 X20 Y0\n" + spiral(40, 5, 0, 0.3)) == 5);
}

TEST_CASE("ten climbing beads are a spiral, nine are not") {
  const auto climb = [](int beads) {
    std::string gcode;
    for (int i = 1; i <= beads; ++i) gcode += fmt::format("G1 X{} Z{:.3f} E0.1\n", i % 2 * 10, 0.2 + 0.04 * i);
    return gcode;
  };
  CHECK(layers_of(head + flat_layer(0.2) + climb(9)) == 10);
  // 10 beads climb 0.4 mm: two layers of 0.2 mm.
  CHECK(layers_of(head + flat_layer(0.2) + climb(10)) == 3);
}
