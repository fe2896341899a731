#include "model/figure_counter.hpp"

#include <doctest/doctest.h>

#include <numbers>
#include <string>

#include "beadwise/analyse.hpp"
#include "support/near.hpp"

using namespace beadwise;
using beadwise::tests::near;

namespace {

JobFigures measured(const std::string& gcode) {
  AnalyseOptions options;
  options.run_checks = false;
  return *analyse(Source::memory("job", gcode), options).job;
}

}  // namespace

TEST_CASE("the figures of a small job, added up by hand") {
  const JobFigures job = measured(
      "M104 S200\nM140 S60\nM83\n"
      "G1 Z0.2 F600\n"          // a travel of 0.2 mm
      "G1 X10 E1\n"             // a bead of 10 mm
      "G1 E-2\n"                // one retraction …
      "G0 X10 Y10\n"            // a travel of 10 mm
      "G1 X0 E-0.5\n"           // … that goes on while travelling 10 mm
      "G1 E2.5\n"               // a prime
      "G1 X3 Y14 E1 ; 3-4-5\n"  // a bead of 5 mm
      "G1 F1200\n");            // a move that moves nothing
  CHECK(job.lines == 11);
  CHECK(job.moves == 8);
  CHECK(job.extruding_moves == 2);
  CHECK(job.travel_moves == 3);
  CHECK(job.retractions == 1);
  CHECK(near(job.filament_fed_mm, 2, 1e-12));
  CHECK(near(job.deposited_mm3, 2 * std::numbers::pi * 1.75 * 1.75 / 4, 1e-12));
  CHECK(near(job.extruding_path_mm, 15, 1e-12));
  CHECK(near(job.travel_path_mm, 20.2, 1e-12));
  CHECK(near(job.head_path_mm, 35.2, 1e-12));
  CHECK(job.layers == 1);
  CHECK(near(job.bounds_x_mm->low, 0, 1e-12));
  CHECK(near(job.bounds_x_mm->high, 10, 1e-12));
  CHECK(near(job.bounds_y_mm->high, 14, 1e-12));
  CHECK(near(job.nozzle_c->high, 200, 1e-12));
  CHECK(near(job.bed_c->low, 60, 1e-12));
  CHECK(job.max_gear_passes == 3);
  // X: +10, −10, +3: two reversals. Y: +10, +4: none.
  CHECK(job.head_reversals_x == 2);
  CHECK(job.head_reversals_y == 0);
}

TEST_CASE("a job without beads has no box and no temperatures") {
  const JobFigures job = measured("M104 S200\nG28\nG1 X10 F600\n");
  CHECK_FALSE(job.bounds_x_mm);
  CHECK_FALSE(job.nozzle_c);
  CHECK(job.layers == 0);
}

TEST_CASE("a firmware retraction counts, also without a length, and adds no filament") {
  const JobFigures job = measured("M83\nG1 X10 E1 F600\nG10\nG10\nG11\nG1 X20 E1\nG10\n");
  CHECK(job.retractions == 2);
  CHECK(near(job.filament_fed_mm, 2, 1e-12));
  CHECK(job.max_gear_passes == 1);
  CHECK(measured("M207 S1\nM83\nG1 X10 E5 F600\nG10\nG11\nG10\nG11\n").max_gear_passes == 5);
}

TEST_CASE("the peak flow is that of beads, not of a push") {
  // 0.0338488 mm of filament for each mm at 50 mm/s: 4.0708 mm³/s; the push before it would be 96 mm³/s.
  const JobFigures job = measured("M83\nM204 S100000\nG1 E20 F2400\nG1 X200 E6.76976 F3000\n");
  CHECK(near(job.peak_flow_mm3_per_s, 4.0708, 1e-3));
}
