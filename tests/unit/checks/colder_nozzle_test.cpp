#include "checks/support/colder_nozzle.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "support/near.hpp"

using namespace beadwise;
using namespace beadwise::checks;
using beadwise::tests::near;

namespace {

/// Beads of 2 mm of filament in 1 s each, with a pause after one of them.
Layer steady_layer(int beads, int pause_after = -1, double pause_s = 0) {
  Layer layer;
  double now_s = 100;
  layer.start_s = now_s;
  for (int i = 0; i < beads; ++i) {
    Bead bead;
    bead.start_s = now_s;
    bead.duration_s = 1;
    bead.filament_mm = 2;
    layer.beads.push_back(bead);
    now_s += 1;
    layer.end_s = now_s;
    if (i == pause_after) now_s += pause_s;
  }
  return layer;
}

// About as PLA is: the arithmetic holds for any.
const std::vector<MeltCandidate> pla{{"pla", {.diffusivity_mm2_per_s = 0.09, .flow_temperature_c = 150}}};

}  // namespace

TEST_CASE("filament stays in the zone as long as the zone's length takes to feed") {
  CHECK(near(shortest_residence_s(steady_layer(10), 5), 2.5, 1e-9));
  // A pause of 3 s in the middle heats what is in the zone then; elsewhere it takes 2.5 s as before.
  CHECK(near(shortest_residence_s(steady_layer(10, 4, 3), 5), 2.5, 1e-9));
  // A zone of 18 mm always holds some of both sides of it: 9 s and the pause.
  CHECK(near(shortest_residence_s(steady_layer(10, 4, 3), 18), 12, 1e-9));
}

TEST_CASE("a layer of less filament than the zone holds stands for others like it") {
  // 4 mm in 2 s: 10 mm in 5 s.
  CHECK(near(shortest_residence_s(steady_layer(2), 10), 5, 1e-9));
  CHECK(std::isinf(shortest_residence_s(Layer{}, 10)));
}

TEST_CASE("the coldest set point is the one at which the flow is the share of what is heated through") {
  const MeltSetup& setup = pla[0].setup;
  constexpr double share = 0.65;
  for (const double residence_s : {3.0, 4.0, 6.0}) {
    const double flow = flow_of_residence_mm3_per_s(setup, residence_s);
    const double coldest = coldest_c(pla, residence_s, share);
    CHECK(flow <= share * heated_flow_mm3_per_s(setup, coldest));
    CHECK(flow > share * heated_flow_mm3_per_s(setup, coldest - 1));
  }
}

TEST_CASE("of several materials the one that wants it hottest counts") {
  std::vector<MeltCandidate> two = pla;
  two.push_back(pla[0]);
  two[1].setup.flow_temperature_c = 170;
  CHECK(coldest_c(two, 4, 0.65) > coldest_c(pla, 4, 0.65));
  CHECK(speed_share_at(two, 4, 5, 0.65, 210) < speed_share_at(pla, 4, 5, 0.65, 210));
}

TEST_CASE("beads slowed down to the share melt through at the colder set point") {
  const MeltSetup& setup = pla[0].setup;
  const double flow = flow_of_residence_mm3_per_s(setup, 3);
  // Without travels both ways to see it are the same.
  const double speed_share = speed_share_at(pla, 3, flow, 0.65, 200);
  CHECK(near(speed_share * flow, 0.65 * heated_flow_mm3_per_s(setup, 200), 1e-6));
  CHECK(speed_share < 1);
}
