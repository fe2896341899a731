#include "checks/support/towers.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <string>

#include "support/near.hpp"
#include "support/print.hpp"
#include "support/stacked.hpp"

using namespace beadwise;
using namespace beadwise::checks;
using namespace beadwise::tests;

namespace {

// Strength of the layers, and of the plate, for the arithmetic.
constexpr double bond_mpa = 20;
constexpr double plate_mpa = 2;

/// A pillar of bars 4 mm long: `bars` of them side by side, 0.45 mm apart, on a slab of `slab_layers`.
Print pillar(int bars, int layers, int slab_layers = 0) {
  Print job = print();
  job.start();
  for (int layer = 0; layer < layers; ++layer) {
    job.layer(0.2);
    if (layer < slab_layers) job.fill(20, 9, {95, 98}, 0.45);
    if (layer < slab_layers) continue;
    for (int bar = 0; bar < bars; ++bar) {
      job.travel_to(100, 100 + 0.45 * bar);
      job.bead_to({104, 100 + 0.45 * bar});
    }
  }
  return job.finish();
}

/// What is known of the first island of the last layer, and how high it is.
Tower last_tower(const Print& job, double largest_mm, double& top_mm) {
  Towers towers(largest_mm);
  Tower last;
  for_each_stack(job.gcode(), [&](const LayerStack& stack) {
    towers.on_stack(stack);
    last = towers.of_island(0);
    top_mm = stack.layer.layer.z_mm;
  });
  return last;
}

}  // namespace

TEST_CASE("a bar bends about its thinner side: W = l b²/6") {
  double top_mm = 0;
  const Tower tower = last_tower(pillar(4, 10), 8, top_mm);
  CHECK(tower.small);
  // Four bars of 0.45 mm are 1.8 mm thick and 4 mm long.
  CHECK(near(tower.section.thickness_mm, 1.8, 0.01));
  CHECK(near(tower.section.modulus_mm3, 4 * 1.8 * 1.8 / 6, 0.02));
  CHECK(near(tower.foot.z_mm, 0, 1e-9));
  CHECK(near(top_mm, 2, 1e-9));
}

TEST_CASE("on the plate the foot lifts off first: F = σ W / h") {
  double top_mm = 0;
  const Tower tower = last_tower(pillar(4, 10), 8, top_mm);
  REQUIRE(tower.on_plate);
  CHECK(near(tower.yields(top_mm, bond_mpa, plate_mpa).push_n, plate_mpa * 2.16 / 2, 0.03));
  CHECK(near(tower.yields(top_mm, bond_mpa, 1000).push_n, bond_mpa * 2.16 / 2, 0.3));
}

TEST_CASE("on a slab it stands on the slab, and its layers hold it") {
  double top_mm = 0;
  const Tower tower = last_tower(pillar(4, 15, 5), 8, top_mm);
  CHECK(near(tower.foot.z_mm, 1, 1e-6));
  CHECK(!tower.on_plate);
  CHECK(near(top_mm, 3, 1e-9));
  CHECK(near(tower.yields(top_mm, bond_mpa, plate_mpa).push_n, bond_mpa * 2.16 / 2, 0.3));
}

TEST_CASE("twice as high bears half the push; twice as thick four times the push") {
  double low_mm = 0;
  double high_mm = 0;
  const double low = last_tower(pillar(2, 10), 8, low_mm).yields(low_mm, bond_mpa, plate_mpa).push_n;
  const double high = last_tower(pillar(2, 20), 8, high_mm).yields(high_mm, bond_mpa, plate_mpa).push_n;
  CHECK(near(low / high, 2, 0.01));
  const double thick = last_tower(pillar(4, 10), 8, low_mm).yields(low_mm, bond_mpa, plate_mpa).push_n;
  CHECK(near(thick / low, 4, 0.05));
}

TEST_CASE("a tip is no weaker than its lever makes it") {
  // A cone of rings, 4 mm across at its foot and 0.9 mm at its tip: the tip is narrow, but nothing bends it there.
  Print job = print();
  job.start();
  constexpr int layers = 20;
  for (int layer = 0; layer < layers; ++layer) {
    job.layer(0.2);
    job.ring(1.8 - 1.5 * layer / (layers - 1), {110, 110});
  }
  double top_mm = 0;
  const Tower tower = last_tower(job.finish(), 8, top_mm);
  const double push_n = tower.yields(top_mm, bond_mpa, plate_mpa).push_n;
  const double tip_taken_for_a_column_n = plate_mpa * tower.section.modulus_mm3 / top_mm;
  CHECK(push_n > 2 * tip_taken_for_a_column_n);
  CHECK(std::isfinite(push_n));
}

TEST_CASE("a sliver in one layer is no neck, two on end are one") {
  // Four bars in every layer but a few, where there is one alone.
  const auto push_n = [](int slivers) {
    Print job = print();
    job.start();
    for (int layer = 0; layer < 20; ++layer) {
      job.layer(0.2);
      const int bars = layer >= 5 && layer < 5 + slivers ? 1 : 4;
      for (int bar = 0; bar < bars; ++bar) {
        job.travel_to(100, 100 + 0.45 * bar);
        job.bead_to({104, 100 + 0.45 * bar});
      }
    }
    double top_mm = 0;
    return last_tower(job.finish(), 8, top_mm).yields(top_mm, bond_mpa, 1000).push_n;
  };
  CHECK(near(push_n(1), push_n(0), 1e-6));
  // A bar 4 mm long and 0.45 mm thick at 1 mm, under a top at 4 mm.
  CHECK(near(push_n(2), bond_mpa * 4 * 0.45 * 0.45 / 6 / 3, 0.02));
}

TEST_CASE("what is larger than asked for is no tower") {
  double top_mm = 0;
  const Tower tower = last_tower(pillar(4, 10), 4, top_mm);
  CHECK(!tower.small);
  CHECK(tower.yields(top_mm, bond_mpa, plate_mpa).push_n == std::numeric_limits<double>::infinity());
}

TEST_CASE("a ring resists like the tube that it is") {
  Print job = print();
  job.start();
  for (int layer = 0; layer < 5; ++layer) {
    job.layer(0.2);
    job.ring(2, {110, 110});
  }
  double top_mm = 0;
  const Tower tower = last_tower(job.finish(), 8, top_mm);
  // Radius 2 mm, wall 0.45 mm: I = π r³ t, A = 2 π r t, so √(I A/3) = π r² t √(2/3).
  CHECK(near(tower.section.modulus_mm3, std::acos(-1.0) * 4 * 0.45 * std::sqrt(2.0 / 3), 0.1));
}
