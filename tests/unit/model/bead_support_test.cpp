#include "model/bead_support.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <functional>
#include <vector>

#include "support/near.hpp"
#include "support/print.hpp"
#include "support/stacked.hpp"

namespace beadwise::tests {
namespace {

/// The support of the last layer.
void on_last_layer(Print job, const std::function<void(BeadSupport&, const IndexedLayer&)>& look) {
  std::uint32_t layers = 0;
  const std::string gcode = job.finish().gcode();
  for_each_stack(gcode, [&](const LayerStack&) { ++layers; });
  REQUIRE(layers > 0);
  for_each_stack(gcode, [&](const LayerStack& stack) {
    if (stack.layer.layer.number != layers) return;
    BeadSupport support;
    support.look_at(stack);
    look(support, stack.layer);
  });
}

/// A stroke from one place to another.
Print& stroke(Print& job, PlanePoint from, PlanePoint to) { return job.travel_to(from.x, from.y).prime().bead_to(to); }

/// Two posts, each a stroke of 10 mm along y with beads of 0.45 mm, their middles 20 mm apart; and a bead across them.
Print two_posts_and_a_deck() {
  Print job = print();
  const auto posts = [&job] {
    stroke(job, {110, 95}, {110, 105});
    stroke(job, {130, 95}, {130, 105});
  };
  job.layer(0.2);
  posts();
  stroke(job.layer(0.2), {105, 100}, {135, 100});
  posts();
  return job;
}

TEST_CASE("the plate carries everything") {
  Print job = print();
  stroke(job.layer(0.2), {100, 100}, {120, 100});
  on_last_layer(job, [](BeadSupport& support, const IndexedLayer& layer) {
    const Footprint& piece = layer.index.footprints().front();
    std::vector<Span> bare;
    support.bare_parts(piece, 0, bare);
    CHECK(support.supported_share(0) == 1);
    CHECK(support.carried_along(piece));
    CHECK(support.carries({500, 500}));
    CHECK(bare.empty());
    CHECK(support.distance_mm({500, 500}, 10) == 0);
  });
}

TEST_CASE("a bead across two posts is carried on them and bare between and beyond") {
  on_last_layer(two_posts_and_a_deck(), [](BeadSupport& support, const IndexedLayer& layer) {
    const Footprint& piece = layer.index.footprints().front();
    std::vector<Span> bare;
    support.bare_parts(piece, 0, bare);
    // Edges of the posts: 109.775, 110.225, 129.775, 130.225; the bead is 30 mm long from 105.
    REQUIRE(bare.size() == 3);
    CHECK(near(bare[0].from * 30, 0, 1e-9));
    CHECK(near(bare[0].to * 30, 4.775, 1e-4));
    CHECK(near(bare[1].from * 30, 5.225, 1e-4));
    CHECK(near(bare[1].to * 30, 24.775, 1e-4));
    CHECK(near(bare[2].from * 30, 25.225, 1e-4));
    CHECK(near(bare[2].to * 30, 30, 1e-9));
    CHECK(!support.carried_along(piece));
    CHECK(!support.mostly_carried_along(piece, 5));
    // At its ends half as much counts: 4.8 mm are bare there.
    CHECK(support.mostly_carried_along(piece, 22));
    // With a margin of 0.3 mm the middle part is 0.6 mm shorter.
    support.bare_parts(piece, 0.3, bare);
    REQUIRE(bare.size() == 3);
    CHECK(near((bare[1].to - bare[1].from) * 30, 18.95, 1e-4));
  });
}

TEST_CASE("distance to what carries is to its edge, and no farther than asked") {
  on_last_layer(two_posts_and_a_deck(), [](BeadSupport& support, const IndexedLayer&) {
    CHECK(near(support.distance_mm({116, 100}, 20), 5.775, 1e-4));
    CHECK(near(support.nearest({116, 100}, 20).middle.x, 110, 1e-4));
    CHECK(support.distance_mm({116, 100}, 3) == 3);
    CHECK(support.distance_mm({110.1, 100}, 3) == 0);
    CHECK(near(support.distance_along_mm({116, 100}, {1, 0}, 20), 13.775, 0.5));
    CHECK(support.distance_along_mm({116, 100}, {0, 1}, 20) == 20);
    CHECK(support.carries({110.5, 100}, 0.3));
    CHECK(!support.carries({110.5, 100}, 0.2));
  });
}

TEST_CASE("a wall lies on a wall that is cut into other beads, but not over a gap") {
  for (const double gap_mm : {0.0, 0.4, 0.7}) {
    Print job = print();
    job.layer(0.2);
    stroke(job, {100, 100}, {107, 100}).bead_to({111, 100});
    stroke(job, {111 + gap_mm, 100}, {130, 100});
    stroke(job.layer(0.2), {100, 100}, {130, 100});
    on_last_layer(job, [&](BeadSupport& support, const IndexedLayer& layer) {
      INFO("gap between the middle lines ", gap_mm);
      // The ends are round: up to 0.45 mm, the bead's width, they close a gap on the middle line.
      CHECK(support.carried_along(layer.index.footprints().front()) == (gap_mm < 0.45));
    });
  }
}

TEST_CASE("a ring inside a ring: the share holds for arcs too") {
  Print job = print();
  job.layer(0.2).ring(10, {100, 100});
  job.layer(0.2).ring(10.2, {100, 100});
  on_last_layer(job, [](BeadSupport& support, const IndexedLayer&) {
    // 1 − 0.2/0.45; the chords of an arc are off by up to 0.01 mm on either ring.
    CHECK(near(support.supported_share(0), 0.5556, 0.03));
    CHECK(near(support.supported_share(1), 0.5556, 0.03));
  });
}

TEST_CASE("the hollow between fill lies inside the outline below; what lies beside it does not") {
  Print job = print();
  for (int layer = 0; layer < 2; ++layer) job.layer(0.2).perimeter(square(20)).fill(19, 19, {100.5, 100.5}, 4);
  on_last_layer(job, [](BeadSupport& support, const IndexedLayer&) {
    CHECK(!support.carries({110, 110.5}));
    CHECK(support.inside_below({110, 110.5}));
    CHECK(!support.inside_below({121, 110.5}));
  });
}

}  // namespace
}  // namespace beadwise::tests
