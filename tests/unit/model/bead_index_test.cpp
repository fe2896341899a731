#include "model/bead_index.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <set>

#include "model/islands.hpp"
#include "model/tracks.hpp"
#include "support/near.hpp"
#include "support/print.hpp"
#include "support/stacked.hpp"

using namespace beadwise;
using beadwise::tests::near;

namespace {

constexpr double widest_mm = 2;

Bead bead(double x1, double y1, double x2, double y2, double width_mm = 0.4) {
  Bead bead;
  bead.from_mm = {x1, y1, 0.2};
  bead.to_mm = {x2, y2, 0.2};
  bead.path_mm = std::hypot(x2 - x1, y2 - y1);
  bead.width_mm = width_mm;
  return bead;
}

IndexedLayer indexed(std::vector<Bead> beads) {
  IndexedLayer layer;
  layer.layer.beads = std::move(beads);
  layer.index.build(layer.layer, widest_mm, 0.45);
  find_tracks(layer);
  find_islands(layer);
  return layer;
}

}  // namespace

TEST_CASE("a line across three beads is covered for their three widths") {
  const IndexedLayer layer = indexed({bead(0, 0, 10, 0), bead(0, 1, 10, 1), bead(0, 2, 10, 2, 0.6)});
  std::vector<Covered> parts;
  layer.index.cover({5, -1}, {5, 3}, 0, parts);
  REQUIRE(parts.size() == 3);
  CHECK(parts[0].bead == 0);
  CHECK(parts[2].bead == 2);
  // (0.4 + 0.4 + 0.6) of 4 mm; footprints are kept in single precision.
  CHECK(near(4 * covered_share(parts), 1.4, 1e-5));
  layer.index.cover({5, -1}, {5, 3}, -0.1, parts);
  CHECK(near(4 * covered_share(parts), 0.2 + 0.2 + 0.4, 1e-5));
}

TEST_CASE("places are covered as far as half a width from the middle line") {
  const IndexedLayer layer = indexed({bead(0, 0, 10, 0)});
  CHECK(layer.index.covers({5, 0.19}));
  CHECK_FALSE(layer.index.covers({5, 0.21}));
  CHECK(layer.index.covers({5, 0.29}, 0.1));
  CHECK_FALSE(layer.index.covers({5, 0.15}, -0.1));
  CHECK(layer.index.covers({10.19, 0}));
  CHECK_FALSE(layer.index.covers({10.15, 0.15}));
  CHECK_FALSE(layer.index.covers({500, 500}));
}

TEST_CASE("an arc is laid along the arc") {
  // A quarter circle of radius 10 about the origin; its middle is at 45°.
  Bead quarter = bead(10, 0, 0, 10);
  quarter.arc = 0;
  IndexedLayer layer;
  layer.layer.beads = {quarter};
  layer.layer.arcs = {Arc{.center_mm = {0, 0}, .radius_mm = 10, .start_rad = 0, .sweep_rad = std::numbers::pi / 2}};
  layer.index.build(layer.layer, widest_mm, 0.45);
  const double middle = 10 / std::numbers::sqrt2;
  CHECK(layer.index.covers({middle, middle}));
  CHECK_FALSE(layer.index.covers({5, 5}));
  // Chords stay within 0.01 mm of the arc.
  CHECK(layer.index.covers({10.185 * middle / 10, 10.185 * middle / 10}));
  CHECK_FALSE(layer.index.covers({10.21 * middle / 10, 10.21 * middle / 10}));
}

TEST_CASE("a bead far from the others, as a purge line is, keeps the index small and right") {
  std::vector<Bead> beads{bead(-5000, -5000, -4990, -5000)};
  for (int i = 0; i < 40; ++i) beads.push_back(bead(100, 100 + 0.4 * i, 110, 100 + 0.4 * i));
  const IndexedLayer layer = indexed(beads);
  CHECK(layer.index.covers({-4995, -5000}));
  CHECK(layer.index.covers({105, 104}));
  CHECK_FALSE(layer.index.covers({105, 99}));
  CHECK(layer.islands.size() == 2);
}

TEST_CASE("beads that touch are one island, beads a third of a width apart are two") {
  CHECK(indexed({bead(0, 0, 10, 0), bead(0, 0.4, 10, 0.4)}).islands.size() == 1);
  // Laid a few per cent apart, as rounded flow does.
  CHECK(indexed({bead(0, 0, 10, 0), bead(0, 0.43, 10, 0.43)}).islands.size() == 1);
  CHECK(indexed({bead(0, 0, 10, 0), bead(0, 0.54, 10, 0.54)}).islands.size() == 2);
}

TEST_CASE("islands are joined by a bead that comes later") {
  const IndexedLayer apart = indexed({bead(0, 0, 0, 5), bead(3, 0, 3, 5), bead(6, 0, 6, 5)});
  CHECK(apart.islands.size() == 3);
  const IndexedLayer joined = indexed({bead(0, 0, 0, 5), bead(3, 0, 3, 5), bead(6, 0, 6, 5), bead(0, 2, 3, 2)});
  REQUIRE(joined.islands.size() == 2);
  CHECK(joined.island_of == std::vector<std::uint32_t>{0, 0, 1, 0});
  CHECK(joined.islands[0].beads == 3);
  CHECK(near(joined.islands[0].length_mm, 13, 1e-9));
}

TEST_CASE("a loop with a seam is a closed track, a stroke that turns back beside itself is not") {
  const auto square = [](double gap_mm) {
    return std::vector<Bead>{bead(0, 0, 10, 0), bead(10, 0, 10, 10), bead(10, 10, 0, 10), bead(0, 10, 0, gap_mm)};
  };
  const IndexedLayer loop = indexed(square(0.3));
  REQUIRE(loop.tracks.size() == 1);
  CHECK(loop.tracks[0].closed);
  CHECK(near(loop.tracks[0].area_mm2, 100, 1e-9));
  CHECK_FALSE(indexed(square(3)).tracks[0].closed);
  const IndexedLayer hairpin = indexed({bead(0, 0, 10, 0), bead(10, 0, 10, 0.4), bead(10, 0.4, 0, 0.4)});
  REQUIRE(hairpin.tracks.size() == 1);
  CHECK(hairpin.tracks[0].closed);
  CHECK(near(hairpin.tracks[0].area_mm2, 4, 1e-9));
}

TEST_CASE("two loops laid without a travel between them are two tracks") {
  std::vector<Bead> beads;
  for (int lap = 0; lap < 2; ++lap) {
    beads.push_back(bead(0, 0, 10, 0));
    beads.push_back(bead(10, 0, 10, 10));
    beads.push_back(bead(10, 10, 0, 10));
    beads.push_back(bead(0, 10, 0, 0));
  }
  const IndexedLayer layer = indexed(beads);
  REQUIRE(layer.tracks.size() == 2);
  CHECK(layer.tracks[1].first == 4);
  CHECK(layer.tracks[1].closed);
}

TEST_CASE("two turns of a circle in arcs keep their area") {
  std::set<double> areas;
  tests::for_each_stack(tests::print().start().layer(0.2).ring(8, {100, 100}).finish().gcode(),
                        [&](const LayerStack& stack) {
                          REQUIRE(stack.layer.tracks.size() == 1);
                          CHECK(stack.layer.tracks[0].closed);
                          areas.insert(stack.layer.tracks[0].area_mm2);
                        });
  REQUIRE(areas.size() == 1);
  // 64 π; sixteen chords for each half turn leave out 0.6 %.
  CHECK(near(*areas.begin(), 64 * std::numbers::pi, 0.01 * 64 * std::numbers::pi));
}

TEST_CASE("beads that all run through a long thin box lie in a few hundred cells each, however long they are") {
  constexpr std::size_t count = 2000;
  std::vector<Bead> beads;
  for (std::size_t i = 0; i < count; ++i) beads.push_back(bead(0, static_cast<double>(i), 1e8, static_cast<double>(i)));
  Layer layer;
  layer.beads = std::move(beads);
  BeadIndex index;
  index.build(layer, widest_mm, 0.45);
  std::size_t entries = 0;
  index.each_cell([&](const std::uint32_t* first, const std::uint32_t* last) {
    entries += static_cast<std::size_t>(last - first);
  });
  // Were the cells as many as the beads, in one row, each bead would lie in thousands.
  CHECK(entries >= count);
  CHECK(entries <= 600 * count);
  CHECK(index.covers({5e7, 7}));
}
