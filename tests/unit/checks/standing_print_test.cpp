#include "checks/support/standing_print.hpp"

#include <doctest/doctest.h>

#include <string>

#include "support/followed.hpp"

using beadwise::checks::StandingPrint;

namespace {

// Lines 1 to 6: two layers of a wall.
const std::string two_layers = "M83\nG0 X10 Y10 Z0.2 F6000\nG1 X30 E1 F1800\nG0 Z0.4\nG1 X10 E1\nG0 Z5\n";

StandingPrint followed(const std::string& gcode) {
  StandingPrint print;
  print.on_moves(beadwise::tests::follow(gcode).batch);
  return print;
}

}  // namespace

TEST_CASE("without a stop everything is known") {
  const StandingPrint print = followed("G28\n" + two_layers);
  for (std::uint64_t line = 1; line < 10; ++line) CHECK(print.known_on(line));
}

TEST_CASE("after homing, a change of tool or a macro nothing is known until the next bead") {
  for (const char* stop : {"G28 X Y\n", "T1\n", "SWAP_PLATE\n", "M0\n", "M600\n"}) {
    // Line 7 the stop, 8 a travel, 9 down, 10 the next bead, on the height of the second layer.
    const StandingPrint print = followed(two_layers + stop + "G0 X20 Y20\nG0 Z0.4\nG1 X30 E1\n");
    CHECK(print.known_on(6));
    CHECK_FALSE(print.known_on(7));
    CHECK_FALSE(print.known_on(9));
    CHECK(print.known_on(10));
  }
}

TEST_CASE("after a pause, homing or a cooled bed a first layer begins a new print, of which nothing is known") {
  for (const char* stop : {"G28\n", "M0\n", "M600\n", "M2\n", "M190 R30\n"}) {
    const StandingPrint print =
        followed("M190 S60\n" + two_layers + stop + "G0 X20 Y20\nG0 Z0.2\nG1 X30 E1\nG0 Z0.4\nG1 X20 E1\n");
    CHECK(print.known_on(7));
    CHECK_FALSE(print.known_on(8));
    CHECK_FALSE(print.known_on(11));
    CHECK_FALSE(print.known_on(13));
  }
  // A change of tool takes nothing off the plate.
  CHECK(followed(two_layers + "T1\nG0 Z0.2\nG1 X30 E1\n").known_on(9));
}

TEST_CASE("an origin that moves the print makes all after it unknown, one that says where the head is does not") {
  const StandingPrint moved = followed(two_layers + "G92 X0\nG1 X10 Z0.4\nG1 X30 E1\n");
  CHECK(moved.known_on(6));
  CHECK_FALSE(moved.known_on(8));
  CHECK_FALSE(moved.known_on(9));
  CHECK(followed(two_layers + "G92 X10 Z5\nG1 X30 E1\n").known_on(8));
  CHECK(followed(two_layers + "G92 E0\nG1 X30 E1\n").known_on(8));
  CHECK(followed("G92 X100\n" + two_layers).known_on(6));
}

TEST_CASE("several stretches are told apart, before and after the first is forgotten") {
  // Lines 7 and 8, and 11 and 12 are in doubt.
  StandingPrint print = followed(two_layers + "T1\nG0 X20\nG1 X30 E1\nG0 X10\nT0\nG0 X20\nG1 X30 E1\n");
  for (const int round : {0, 1}) {
    CAPTURE(round);
    CHECK(print.known_on(9));
    CHECK(print.known_on(10));
    CHECK_FALSE(print.known_on(12));
    CHECK(print.known_on(13));
    print.forget_before(9);
  }
}
