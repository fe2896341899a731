// Random beads against Boost.Geometry, a general-purpose reference library: each footprint a polygon of its own
// `buffer` with round ends, the length of a line inside their union from its `intersection`, islands from its
// `intersects`.

#include <doctest/doctest.h>

#include <boost/geometry.hpp>
#include <boost/geometry/geometries/geometries.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <cmath>
#include <numeric>
#include <vector>

#include "model/bead_index.hpp"
#include "model/islands.hpp"
#include "model/tracks.hpp"
#include "support/print.hpp"

using namespace beadwise;
namespace bg = boost::geometry;

namespace {

using PlanePosition = bg::model::d2::point_xy<double>;
using Stroke = bg::model::linestring<PlanePosition>;
using Strokes = bg::model::multi_linestring<Stroke>;
using Polygon = bg::model::polygon<PlanePosition>;
using Polygons = bg::model::multi_polygon<Polygon>;

constexpr int points_per_circle = 360;

double between(tests::Dice& dice, double low, double high) {
  constexpr std::uint64_t steps = 1'000'000;
  return low + (high - low) * static_cast<double>(dice.roll(steps)) / static_cast<double>(steps);
}

std::vector<Bead> random_beads(tests::Dice& dice, int count, double plate_mm, double longest_mm) {
  std::vector<Bead> beads;
  for (int i = 0; i < count; ++i) {
    const double angle = between(dice, 0, 6.2831853);
    const double length_mm = between(dice, 0.05, longest_mm);
    Bead bead;
    bead.from_mm = {between(dice, 0, plate_mm), between(dice, 0, plate_mm), 0.2};
    bead.to_mm = {bead.from_mm.x + length_mm * std::cos(angle), bead.from_mm.y + length_mm * std::sin(angle), 0.2};
    bead.path_mm = length_mm;
    bead.width_mm = between(dice, 0.2, 1.2);
    beads.push_back(bead);
  }
  return beads;
}

Polygon outline_of(const Bead& bead, double ratio) {
  const Stroke line{{bead.from_mm.x, bead.from_mm.y}, {bead.to_mm.x, bead.to_mm.y}};
  Polygons outline;
  bg::buffer(line, outline, bg::strategy::buffer::distance_symmetric<double>(ratio * bead.width_mm / 2),
             bg::strategy::buffer::side_straight(), bg::strategy::buffer::join_round(points_per_circle),
             bg::strategy::buffer::end_round(points_per_circle), bg::strategy::buffer::point_circle(points_per_circle));
  REQUIRE(outline.size() == 1);
  return outline.front();
}

/// Length of a line inside the union of outlines: all but what is left when each is taken away.
double length_inside(const Stroke& line, const std::vector<Polygon>& outlines) {
  Strokes left{line};
  for (const Polygon& outline : outlines) {
    Strokes rest;
    bg::difference(left, outline, rest);
    left = rest;
  }
  return static_cast<double>(bg::length(line) - bg::length(left));
}

std::size_t islands_of(const std::vector<Polygon>& outlines) {
  std::vector<std::size_t> group(outlines.size());
  std::iota(group.begin(), group.end(), 0U);
  std::size_t islands = outlines.size();
  for (std::size_t i = 0; i < outlines.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) {
      if (group[i] == group[j] || !bg::intersects(outlines[i], outlines[j])) continue;
      const std::size_t old = group[i];
      for (std::size_t& one : group)
        if (one == old) one = group[j];
      --islands;
    }
  return islands;
}

}  // namespace

TEST_CASE("the covered length of a line agrees with Boost.Geometry within 1 %") {
  tests::Dice dice(4);
  for (int round = 0; round < 12; ++round) {
    Layer layer;
    layer.beads = random_beads(dice, 60, 20, round % 2 == 0 ? 12 : 0.8);
    BeadIndex index;
    index.build(layer, 4, 0.45);
    std::vector<Polygon> outlines;
    for (const Bead& bead : layer.beads) outlines.push_back(outline_of(bead, 1));
    std::vector<Covered> parts;
    for (int i = 0; i < 25; ++i) {
      const Stroke line{{between(dice, -2, 22), between(dice, -2, 22)}, {between(dice, -2, 22), between(dice, -2, 22)}};
      const double expected_mm = length_inside(line, outlines);
      index.cover({line[0].x(), line[0].y()}, {line[1].x(), line[1].y()}, 0, parts);
      const double found_mm = covered_share(parts) * static_cast<double>(bg::length(line));
      // A polygon of 360 corners lies within 0.00004 of its radius inside the circle; single precision adds 1 µm.
      CHECK(std::abs(found_mm - expected_mm) <= 0.01 * expected_mm + 1e-3);
    }
  }
}

TEST_CASE("places are covered where Boost.Geometry says so") {
  tests::Dice dice(9);
  Layer layer;
  layer.beads = random_beads(dice, 80, 20, 6);
  BeadIndex index;
  index.build(layer, 4, 0.45);
  int covered = 0;
  for (int i = 0; i < 2000; ++i) {
    const PlanePosition place(between(dice, -1, 21), between(dice, -1, 21));
    double nearest_mm = 1e9;
    for (const Bead& bead : layer.beads) {
      const Stroke line{{bead.from_mm.x, bead.from_mm.y}, {bead.to_mm.x, bead.to_mm.y}};
      nearest_mm = std::min(nearest_mm, bg::distance(place, line) - bead.width_mm / 2);
    }
    if (std::abs(nearest_mm) < 1e-5) continue;
    covered += nearest_mm < 0 ? 1 : 0;
    CHECK(index.covers({place.x(), place.y()}) == (nearest_mm < 0));
  }
  CHECK(covered > 500);
  CHECK(covered < 1900);
}

TEST_CASE("islands are those of Boost.Geometry") {
  tests::Dice dice(17);
  for (int round = 0; round < 20; ++round) {
    IndexedLayer layer;
    layer.layer.beads = random_beads(dice, 20 + 4 * round, 24, round % 2 == 0 ? 8 : 1);
    layer.index.build(layer.layer, 4, 0.45);
    find_tracks(layer);
    find_islands(layer);
    std::vector<Polygon> outlines;
    for (const Bead& bead : layer.layer.beads) outlines.push_back(outline_of(bead, BeadIndex::touch_ratio));
    CHECK(layer.islands.size() == islands_of(outlines));
  }
}
