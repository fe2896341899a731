#include "property/filament_ledger.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "beadwise/analyse.hpp"
#include "property/orchard_plate.hpp"
#include "support/near.hpp"

namespace beadwise::tests {
namespace {

TEST_CASE("a ledger tells beads from primes, and what was given back from what is fresh") {
  // Laid 3, pulled 1, given back 1 standing, laid 2 in relative E: forward 3 + 1 + 2, furthest 5.
  const auto ledger = reckon_filament("G1 X10 E3\nG1 E2\nG1 E3\nM83\nG1 Y5 E2\n");
  REQUIRE(ledger.has_value());
  CHECK(near(ledger->forward_mm, 6, 1e-12));
  CHECK(near(ledger->in_beads_mm, 5, 1e-12));
  CHECK(near(ledger->standing_mm, 1, 1e-12));
  CHECK(near(ledger->highest_fed_mm, 5, 1e-12));
}

TEST_CASE("a ledger keeps away from what it does not know") {
  CHECK(!reckon_filament("G1 X10 E3\nG10\n"));
  CHECK(!reckon_filament("G1 X1 E1 F?fast?\n"));
  CHECK(!reckon_filament("G1 X{x} E3\n"));
  CHECK(!reckon_filament("T1\n"));
  CHECK(reckon_filament("M117 row label {name}\nN12 G1 X1 E1*33\n").has_value());
  CHECK(reckon_filament("START_PRINT NOZZLE_HEAT=210\nM84 X Y E\n").has_value());
}

TEST_CASE("filament is kept: what goes forward lies in beads or went in standing, and the furthest is what was fed") {
  for (std::uint64_t seed = 0; seed < 24; ++seed) {
    const std::string gcode = sound_plate(seed).gcode({.relative_e = seed % 2 == 0, .inches = seed % 3 == 0});
    const auto ledger = reckon_filament(gcode);
    const FileReport report = analyse(Source::memory("plate.gcode", gcode), {});
    INFO("seed ", seed);
    REQUIRE((ledger && report.job));
    const double filament_mm2 = std::numbers::pi * 1.75 * 1.75 / 4;
    CHECK(near(ledger->forward_mm, ledger->in_beads_mm + ledger->standing_mm, 1e-6));
    CHECK(near(report.job->deposited_mm3, ledger->in_beads_mm * filament_mm2, 1e-5));
    CHECK(near(report.job->filament_fed_mm, ledger->highest_fed_mm, 1e-6));
  }
}

}  // namespace
}  // namespace beadwise::tests
