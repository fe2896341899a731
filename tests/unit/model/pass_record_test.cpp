#include "model/pass_record.hpp"

#include <doctest/doctest.h>

#include <algorithm>

#include "model/filament_line.hpp"
#include "support/followed.hpp"
#include "support/near.hpp"
#include "support/print.hpp"

using namespace beadwise;
using namespace beadwise::tests;

namespace {

constexpr std::int64_t mm = 1'000'000;

std::uint64_t most_of(const PassesAlong& along) {
  return along.most.empty() ? 0 : *std::max_element(along.most.begin(), along.most.end());
}

}  // namespace

TEST_CASE("filament that was never pulled back passes the gear once, a point pulled back twice five times") {
  PassRecord record;
  record.add(10 * mm, 12 * mm, 2);
  record.add(11 * mm, 13 * mm, 1);
  const PassesAlong along = record.passes(20 * mm);
  CHECK(near(along.step_mm, 0.1, 1e-12));
  REQUIRE(along.most.size() == 200);
  CHECK(along.most[99] == 1);
  CHECK(along.most[100] == 5);
  CHECK(along.most[119] == 5);
  CHECK(along.most[120] == 3);
  CHECK(along.most[130] == 1);
}

TEST_CASE("a spool of filament takes no more steps than a metre, and the worst point stays") {
  PassRecord record;
  record.add(3 * mm, 4 * mm, 7);
  record.add(299'999 * mm, 300'000 * mm, 1);
  const PassesAlong along = record.passes(300'000 * mm);
  CHECK(along.most.size() <= PassRecord::most_steps);
  CHECK(near(along.step_mm * static_cast<double>(along.most.size()), 300'000, along.step_mm));
  CHECK(along.most.front() == 15);
  CHECK(along.most.back() == 3);
}

TEST_CASE("what was loaded before the job is left out") {
  PassRecord record;
  record.add(-5 * mm, -1 * mm, 9);
  CHECK(most_of(record.passes(mm)) == 1);
}

TEST_CASE("passes along the filament reach what the job counts as the most") {
  Print job = print();
  job.layer(0.2);
  for (int i = 0; i < 12; ++i) {
    job.perimeter(square(3, {100.0 + 5 * i, 100}));
    for (int k = 0; k < i % 4; ++k) job.retract(2).prime();
  }
  FilamentLine line;
  line.keep_passes();
  line.on_moves(follow(job.finish().gcode()).batch);
  line.finish();
  REQUIRE(line.passes().size() == 1);
  CHECK(line.max_gear_passes() > 3);
  CHECK(most_of(line.passes().front()) == line.max_gear_passes());
}
