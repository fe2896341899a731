// Outside check: overhang geometry. A wall that leans by θ from the vertical moves by s = h tan θ from layer to layer;
// of a bead of width w the share f = 1 − s/w lies on the bead below (derived geometry).
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "model/bead_support.hpp"
#include "support/near.hpp"
#include "support/stacked.hpp"

namespace beadwise::tests {
namespace {

constexpr double height_mm = 0.2;

/// Three layers of one wall each, 40 mm long; supported share of the wall in each.
std::vector<double> shares_of_leaning_wall(double lean_degrees) {
  const double step_mm = height_mm * std::tan(lean_degrees * std::numbers::pi / 180);
  // A bead of 0.45 by 0.2 mm with round ends has 0.0814159 mm²; filament of 1.75 mm has 2.405282 mm².
  std::string gcode = "G21\nG90\nM83\nG28\n";
  for (int layer = 0; layer < 3; ++layer) {
    gcode += fmt::format("G0 X100 Y{:.5f} Z{:.1f}\n", 100.2 + layer * step_mm, (layer + 1) * height_mm);
    gcode += fmt::format("G1 X140 E{:.5f} F1800\n", 40 * 0.0814159 / 2.405282);
  }
  std::vector<double> shares;
  BeadSupport support;
  for_each_stack(gcode, [&](const LayerStack& stack) {
    support.look_at(stack);
    shares.push_back(support.supported_share(0));
  });
  return shares;
}

TEST_CASE("a leaning wall: the supported share of its beads is 1 − h tan θ / w") {
  struct Lean {
    double degrees, share;
  };
  // h 0.2 mm, w 0.45 mm; at 70° a layer moves by 0.549 mm, more than a width.
  for (const Lean& lean : std::vector<Lean>{{0, 1}, {30, 0.7434}, {45, 0.5556}, {50, 0.4703}, {60, 0.2302}, {70, 0}}) {
    INFO("leaning by ", lean.degrees, "°");
    const std::vector<double> shares = shares_of_leaning_wall(lean.degrees);
    REQUIRE(shares.size() == 3);
    CHECK(shares[0] == 1);
    CHECK(near(shares[1], lean.share, 1e-4));
    CHECK(near(shares[2], lean.share, 1e-4));
  }
}

}  // namespace
}  // namespace beadwise::tests
