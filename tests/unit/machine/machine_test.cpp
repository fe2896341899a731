#include "machine/machine.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "support/followed.hpp"
#include "support/near.hpp"

using namespace beadwise;
using beadwise::tests::follow;
using beadwise::tests::near;

namespace {

Move last_move(std::string_view gcode) { return follow(gcode).batch.moves.back(); }

}  // namespace

TEST_CASE("the job starts at the origin, absolute, in millimetres, and a motion mode holds from line to line") {
  const auto job = follow("G1 X10 F600\nY5\nX3Y4\n");
  REQUIRE(job.batch.moves.size() == 3);
  CHECK(near(job.batch.moves[0].path_mm, 10, 1e-12));
  CHECK(near(job.batch.moves[1].to_mm.y, 5, 1e-12));
  CHECK(near(job.batch.moves[2].path_mm, std::hypot(7, 1), 1e-12));
  CHECK(near(job.batch.moves[2].feedrate_mm_per_s, 10, 1e-12));
}

TEST_CASE("words alone before any motion mode are reported and move nothing") {
  const auto job = follow("X10 Y5\nG1 X1 F600\n");
  CHECK(job.batch.moves.size() == 1);
  REQUIRE(job.events(EventKind::unread).size() == 1);
  CHECK(job.events(EventKind::unread)[0].trouble == TroubleKind::no_motion_mode);
}

TEST_CASE("inches scale lengths and speeds and nothing else") {
  // 1 inch is 25.4 mm exactly (international yard and pound agreement of 1959).
  const auto job = follow("G20\nM104 S200\nG1 X1 Y2 E0.1 F60\nG4 P100\n");
  const Move& move = job.batch.moves[0];
  CHECK(near(move.to_mm.x, 25.4, 1e-12));
  CHECK(near(move.to_mm.y, 50.8, 1e-12));
  CHECK(near(move.filament_mm, 2.54, 1e-12));
  CHECK(near(move.feedrate_mm_per_s, 25.4, 1e-12));
  CHECK(near(job.settings_of(0).tool_c(), 200, 1e-12));
  CHECK(near(job.events(EventKind::dwell)[0].value, 0.1, 1e-12));
}

TEST_CASE("the latest of G90, G91, M82 and M83 decides whether E is relative") {
  // G91 and M83 make it relative, M82 absolute, G90 absolute unless the latest of M82 and M83 was M83.
  CHECK(near(last_move("G1 E1\nG1 X1 E3").filament_mm, 2, 1e-12));
  CHECK(near(last_move("M83\nG1 E1\nG1 X1 E3").filament_mm, 3, 1e-12));
  CHECK(near(last_move("M83\nG90\nG1 E1\nG1 X1 E3").filament_mm, 3, 1e-12));
  CHECK(near(last_move("G91\nG1 E1\nG1 X1 E3").filament_mm, 3, 1e-12));
  CHECK(near(last_move("G91\nM82\nG1 E1\nG1 X1 E3").filament_mm, 2, 1e-12));
  CHECK(near(last_move("M82\nG91\nG90\nG1 E1\nG1 X1 E3").filament_mm, 2, 1e-12));
  CHECK(near(last_move("M83\nM82\nG90\nG1 E1\nG1 X1 E3").filament_mm, 2, 1e-12));
}

TEST_CASE("G92 sets what is named, or all; it moves nothing") {
  // NISTIR 6556, section 3.5.18: at X=4, G92 x7 makes X read 7; then G92 x9 makes it read 9. A bare G92 is the
  // printers' dialect: all axes are 0.
  const auto named = follow("G1 X4 F600\nG92 X7\nG1 X8\nG92 X9\nG1 X9.5\n");
  CHECK(near(named.batch.moves[1].path_mm, 1, 1e-12));
  CHECK(near(named.batch.moves[2].path_mm, 0.5, 1e-12));
  const auto bare = follow("G1 X4 Y3 E2 F600\nG92\nG1 X1 E1\n");
  CHECK(near(bare.batch.moves[1].path_mm, 1, 1e-12));
  CHECK(near(bare.batch.moves[1].filament_mm, 1, 1e-12));
  // Section 3.5.18: G92.1 takes the offsets back.
  CHECK(near(last_move("G1 X4 F600\nG92 X0\nG92.1\nG1 X5\n").path_mm, 1, 1e-12));
  // G92.2 does so for a while: G92.3 brings them back.
  CHECK(near(last_move("G1 X4 F600\nG92 X0\nG92.2\nG92.3\nG1 X5\n").path_mm, 5, 1e-12));
  CHECK(near(last_move("G1 X4 F600\nG92 X0\nG92.2\nG1 X5\n").path_mm, 1, 1e-12));
}

TEST_CASE("G28 sets the named axes to 0, all where none is named, and adds no path") {
  const auto job = follow("G1 X4 Y3 Z2 F600\nG28 X\nG1 X1\nG28 W\nG1 X1\n");
  CHECK(near(job.batch.moves[1].path_mm, 1, 1e-12));
  CHECK(near(job.batch.moves[2].from_mm.y, 0, 1e-12));
  CHECK(job.events(EventKind::homing)[0].text == "X");
  CHECK(job.events(EventKind::homing)[1].text == "XYZ");
  CHECK(job.events(EventKind::unread).empty());
}

TEST_CASE("numbers out of any machine's reach are left out and told; the rest of the line holds") {
  const auto job =
      follow("G1 X10 Y5 F600\nG1 X1000000000 Y6\nM104 S99999999999\nM9999 S1700000000\nG1 X0.0000000001 Y6\n");
  CHECK(near(job.batch.moves[1].to_mm.x, 10, 1e-12));
  CHECK(near(job.batch.moves[1].to_mm.y, 6, 1e-12));
  CHECK(job.batch.moves[2].to_mm.x == 0);
  CHECK(job.events(EventKind::nozzle_set).empty());
  // Of a command that is not followed nothing is told: its number may be a time of day.
  REQUIRE(job.events(EventKind::unread).size() == 2);
  CHECK(job.events(EventKind::unread)[0].trouble == TroubleKind::bad_value);
  CHECK(job.events(EventKind::unread)[0].column == 4);
  CHECK(job.events(EventKind::unread)[1].line == 3);
}

TEST_CASE("M221 scales E both ways, M220 the speed") {
  const auto job = follow("M83\nM221 S90\nM220 S50\nG1 X10 E1 F1200\nG1 E-2\n");
  CHECK(near(job.batch.moves[0].filament_mm, 0.9, 1e-12));
  CHECK(near(job.batch.moves[1].filament_mm, -1.8, 1e-12));
  CHECK(near(job.batch.moves[0].feedrate_mm_per_s, 10, 1e-12));
}

TEST_CASE("M200 makes E a volume") {
  // 2.405282 mm³ are 1 mm of 1.75 mm filament: π 1.75²/4.
  const auto job = follow("M200 D1.75\nM83\nG1 X10 E2.405282 F600\nM200 D0\nG1 X20 E2\n");
  CHECK(near(job.batch.moves[0].filament_mm, 1, 1e-6));
  CHECK(near(job.batch.moves[1].filament_mm, 2, 1e-12));
}

TEST_CASE("a prime gives back what was pulled; only the rest is fresh") {
  const auto job = follow("M83\nG1 X10 E1 F600\nG1 E-2\nG1 E1\nG1 X20 E3\n");
  CHECK(near(job.batch.moves[1].owed_mm, 2, 1e-12));
  CHECK(near(job.batch.moves[2].fresh_mm, 0, 1e-12));
  CHECK(near(job.batch.moves[3].fresh_mm, 2, 1e-12));
  CHECK(job.batch.moves[1].kind == MoveKind::pull);
  CHECK(job.batch.moves[2].kind == MoveKind::feed);
}

TEST_CASE("each tool owes its own filament and has its own temperature; E is one register") {
  const auto job = follow("M83\nM104 T1 S230\nM104 S200\nG1 X10 E1 F600\nG1 E-2\nT1\nG1 X20 E3\nT0\nG1 X30 E3\nT70\n");
  CHECK(near(job.batch.moves[2].fresh_mm, 3, 1e-12));
  CHECK(near(job.batch.moves[3].fresh_mm, 1, 1e-12));
  CHECK(near(job.settings_of(2).tool_c(), 230, 1e-12));
  CHECK(near(job.settings_of(3).tool_c(), 200, 1e-12));
  // A tool number above 63 is no tool.
  REQUIRE(job.events(EventKind::unknown_command).size() == 1);
  CHECK(job.events(EventKind::unknown_command)[0].text == "T70");
}

TEST_CASE("G10 and G11 are a retraction and its prime unless they carry P, L, X, Y or Z") {
  const auto job = follow("M207 S1.5\nG10\nG10\nG11\nG10 P0 S195\nG10 L20 P1 X0\n");
  REQUIRE(job.events(EventKind::firmware_retraction).size() == 1);
  CHECK(near(job.events(EventKind::firmware_retraction)[0].value, 1.5, 1e-12));
  CHECK(job.events(EventKind::firmware_prime).size() == 1);
  CHECK(near(job.events(EventKind::nozzle_set)[0].value, 195, 1e-12));
}

TEST_CASE("of two commands of one kind the first counts, and G53 is passed over") {
  // NISTIR 6556, section 3.3.5, calls these errors; the printers' dialect follows the first and reports.
  const auto job = follow("G0 G1 X5 F600\nG53 G1 X7\nG90 G91 X1\nG0 X9 G28 Y2\n");
  CHECK(job.batch.moves[0].rapid);
  CHECK(near(job.batch.moves[1].to_mm.x, 7, 1e-12));
  REQUIRE(job.events(EventKind::unread).size() == 3);
  CHECK(job.events(EventKind::unread)[0].trouble == TroubleKind::repeated_command);
  CHECK(job.events(EventKind::homing).empty());
}

TEST_CASE("units, distance mode and plane of a line take effect before its motion") {
  const auto job = follow("G1 X10 F600\nG1 G91 X5\nG1 X0.1 G20\n");
  CHECK(near(job.batch.moves[1].to_mm.x, 15, 1e-12));
  CHECK(near(job.batch.moves[2].to_mm.x, 17.54, 1e-12));
}

TEST_CASE("an arc that cannot be is reported and followed as a straight line") {
  const auto job = follow("G1 X10 F600\nG2 X20 Y0 R2\n");
  CHECK(job.events(EventKind::broken_arc).size() == 1);
  CHECK(near(job.batch.moves[1].path_mm, 10, 1e-12));
  CHECK(job.batch.moves[1].arc == -1);
}

TEST_CASE("a full turn with a climb is one extruding move") {
  const auto job = follow("M83\nG1 X10 F600\nG3 I-10 J0 Z0.2 E2\n");
  CHECK(job.batch.moves[1].kind == MoveKind::bead);
  CHECK(near(job.batch.moves[1].path_mm, std::hypot(20 * std::numbers::pi, 0.2), 1e-9));
}

TEST_CASE("a macro's key that plainly says a temperature, an acceleration or a corner speed is believed") {
  const auto job =
      follow("WARM_UP NOZZLE_HEAT=205 PLATE_HEAT=50 LABEL=4\nSET_LIMITS ACCEL=3000 CORNER_SPEED=8\nG1 X1 F600\n");
  CHECK(near(job.settings_of(0).tool_c(), 205, 1e-12));
  CHECK(near(job.settings_of(0).bed_c, 50, 1e-12));
  CHECK(near(job.batch.moves[0].speed.acceleration_mm_per_s2, 3000, 1e-12));
  // Of two keys for one thing the first counts: the second is for the layers after the first.
  const auto twice = follow("WARM_UP BED_HEAT=60 LABEL=4 BED_HEAT_LATER=55\nG1 X1 F600\n");
  CHECK(near(twice.settings_of(0).bed_c, 60, 1e-12));
  CHECK(follow("CLEAN NOZZLE=0.4 BED=1\nG1 X1 F600\n").events(EventKind::nozzle_set).empty());
}

TEST_CASE("a word that cannot be read is left out, the others hold, and a feed of 0 leaves the feed as it was") {
  const auto job = follow("G1 X5 F600\nG1 X10 F{speed}\nG1 X12 F0\nG1 X[3] Y4\n");
  CHECK(near(job.batch.moves[1].to_mm.x, 10, 1e-12));
  CHECK(near(job.batch.moves[2].feedrate_mm_per_s, 10, 1e-12));
  CHECK(near(job.batch.moves[3].to_mm.y, 4, 1e-12));
  CHECK(near(job.batch.moves[3].to_mm.x, 12, 1e-12));
  const auto unread = job.events(EventKind::unread);
  REQUIRE(unread.size() == 2);
  CHECK(unread[0].value == 0);  // the speed alone was lost
  CHECK(unread[1].value == 1);  // a place was lost
  CHECK(job.events(EventKind::zero_feed).size() == 1);
}

TEST_CASE("moves are counted, classified and told apart from one another") {
  const auto job = follow("M83\nG1 F600\nG1 X10 E1\nG1 Z0.2\nG1 X0 E-0.5\nG1 E-1\nG1 E1\nG1 Z1 E1\nG0\n");
  const MoveKind expected[] = {MoveKind::still, MoveKind::bead, MoveKind::travel, MoveKind::travel,
                               MoveKind::pull,  MoveKind::feed, MoveKind::feed,   MoveKind::still};
  REQUIRE(job.batch.moves.size() == 8);
  for (std::size_t i = 0; i < 8; ++i) CHECK(job.batch.moves[i].kind == expected[i]);
}

TEST_CASE("a dwell takes its time, waits for heat and homing none") {
  const auto job = follow("G1 X10 F600\nG4 S2\nG4 P500\nM109 S200\nG28\nG1 X1\n");
  // 10 mm at 10 mm/s and 1500 mm/s²: 1 s + 10/1500 s.
  CHECK(near(job.batch.moves[1].start_s, 1 + 10.0 / 1500 + 2.5, 1e-9));
}
