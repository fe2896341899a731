#include "model/bare_runs.hpp"

#include <doctest/doctest.h>

#include <functional>
#include <vector>

#include "support/near.hpp"
#include "support/print.hpp"
#include "support/stacked.hpp"

namespace beadwise::tests {
namespace {

std::vector<BareRun> runs_of_second_layer(Print job) {
  std::vector<BareRun> runs;
  for_each_stack(job.finish().gcode(), [&](const LayerStack& stack) {
    if (stack.layer.layer.number != 2) return;
    BeadSupport support;
    support.look_at(stack);
    BareRuns finder(support);
    for (std::uint32_t track = 0; track < stack.layer.tracks.size(); ++track)
      finder.add(
          stack.layer, track, [](std::uint32_t) { return false; }, runs);
  });
  return runs;
}

Print& blocks(Print& job) { return job.perimeter(square(10, {100, 100})).perimeter(square(10, {130, 100})); }

/// Two blocks of 10 × 10 mm, their walls' middles 20 mm apart: 19.55 mm of air with beads of 0.45 mm. The second layer
/// is begun.
Print two_blocks() {
  Print job = print();
  blocks(job.layer(0.2)).layer(0.2);
  return job;
}

/// One bead, and the blocks go on.
std::vector<BareRun> runs_of_bead(const std::vector<PlanePoint>& corners) {
  Print job = two_blocks();
  job.travel_to(corners.front().x, corners.front().y).prime();
  for (std::size_t i = 1; i < corners.size(); ++i) job.bead_to(corners[i]);
  return runs_of_second_layer(blocks(job));
}

TEST_CASE("a bead from block to block is a bridge, as long as the air below it") {
  const std::vector<BareRun> runs = runs_of_bead({{110, 105}, {117, 105}, {130, 105}});
  REQUIRE(runs.size() == 1);
  CHECK(runs[0].anchored);
  CHECK(near(runs[0].span_mm(), 19.55, 1e-3));
  CHECK(near(runs[0].bow_mm, 0, 1e-4));
}

TEST_CASE("a bead that ends in the air is no bridge") {
  const std::vector<BareRun> runs = runs_of_bead({{110, 105}, {122, 105}});
  REQUIRE(runs.size() == 1);
  CHECK(!runs[0].anchored);
  CHECK(near(runs[0].length_mm, 12 - 0.225 - 0.253, 1e-3));
}

TEST_CASE("fill that ends a little before the wall below ends on the wall beside it") {
  for (const double short_mm : {0.3, 0.8}) {
    const std::vector<BareRun> runs = runs_of_bead({{110 + short_mm, 105}, {130 - short_mm, 105}});
    REQUIRE(runs.size() == 1);
    INFO("ends ", short_mm, " mm from the walls' middle lines; a width and a half reach 0.9 mm");
    CHECK(runs[0].anchored);
    CHECK(near(runs[0].span_mm(), 19.55, 1e-3));
  }
}

TEST_CASE("a loop around two blocks crosses the air twice, wherever its seam is") {
  const Outline around = rectangle(40, 10, {100, 100});
  const Outline seam_in_the_air{{120, 100}, {140, 100}, {140, 110}, {100, 110}, {100, 100}};
  for (const Outline& outline : {around, seam_in_the_air}) {
    Print job = two_blocks();
    const std::vector<BareRun> runs = runs_of_second_layer(job.perimeter(outline));
    REQUIRE(runs.size() == 2);
    for (const BareRun& run : runs) {
      CHECK(run.anchored);
      CHECK(near(run.span_mm(), 19.55, 1e-3));
      CHECK(near(run.bow_mm, 0, 1e-4));
    }
  }
}

TEST_CASE("a loop that goes out over the edge and comes back is bowed") {
  Print job = print();
  job.layer(0.2).perimeter(square(10, {100, 100})).layer(0.2).perimeter(rectangle(13, 10, {100, 100}));
  const std::vector<BareRun> runs = runs_of_second_layer(job);
  REQUIRE(runs.size() == 1);
  CHECK(runs[0].anchored);
  // Its middle line ends 3 mm beyond that of the wall; the run begins 0.225 + 0.253 mm beyond it.
  CHECK(near(runs[0].bow_mm, 3 - 0.225 - 0.253, 1e-3));
}

TEST_CASE("a loop in the air has no end") {
  Print job = print();
  job.layer(0.2).perimeter(square(20, {100, 100})).layer(0.2).perimeter(square(6, {107, 107}));
  const std::vector<BareRun> runs = runs_of_second_layer(job.perimeter(square(20, {100, 100})));
  REQUIRE(runs.size() == 1);
  CHECK(!runs[0].anchored);
  CHECK(near(runs[0].length_mm, 24, 1e-3));
}

}  // namespace
}  // namespace beadwise::tests
