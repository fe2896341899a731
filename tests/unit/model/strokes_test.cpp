#include "model/strokes.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "model/bead_roles.hpp"
#include "model/islands.hpp"
#include "model/tracks.hpp"
#include "support/near.hpp"

using namespace beadwise;
using beadwise::tests::near;

namespace {

/// A layer of beads told one by one.
class Laid {
 public:
  Laid& stroke(std::vector<PlanePoint> places, double width_mm) {
    for (std::size_t i = 1; i < places.size(); ++i) {
      Bead bead;
      bead.from_mm = {places[i - 1].x, places[i - 1].y, 0.1};
      bead.to_mm = {places[i].x, places[i].y, 0.1};
      bead.path_mm = std::hypot(bead.to_mm.x - bead.from_mm.x, bead.to_mm.y - bead.from_mm.y);
      bead.width_mm = width_mm;
      layer_.layer.beads.push_back(bead);
    }
    return *this;
  }
  Laid& box(double x, double y, double width_mm, double depth_mm, double bead_mm) {
    return stroke({{x, y}, {x + width_mm, y}, {x + width_mm, y + depth_mm}, {x, y + depth_mm}, {x, y}}, bead_mm);
  }
  Laid& circle(PlanePoint center, double radius_mm, double bead_mm, int facets = 60) {
    std::vector<PlanePoint> places;
    for (int i = 0; i <= facets; ++i) {
      const double angle = 2 * std::numbers::pi * (i % facets) / facets;
      places.push_back({center.x + radius_mm * std::cos(angle), center.y + radius_mm * std::sin(angle)});
    }
    return stroke(places, bead_mm);
  }
  const std::vector<EdgeSample>& measured() {
    layer_.index.build(layer_.layer, 2, 0.45);
    find_tracks(layer_);
    find_islands(layer_);
    infer_roles(layer_);
    meter_.measure(layer_, std::vector<bool>(layer_.tracks.size(), true), {});
    return meter_.samples();
  }
  std::size_t islands() const { return layer_.islands.size(); }

 private:
  IndexedLayer layer_;
  StrokeMeter meter_;
};

double thinnest(const std::vector<EdgeSample>& samples) {
  double least = 1e9;
  for (const EdgeSample& sample : samples) least = std::min(least, sample.thickness_mm);
  return least;
}

double narrowest_gap(const std::vector<EdgeSample>& samples) {
  double least = 1e9;
  for (const EdgeSample& sample : samples) least = std::min(least, sample.gap_mm);
  return least;
}

/// Share of the edge that is as thick as said.
double share_at(const std::vector<EdgeSample>& samples, double thickness_mm, double tolerance_mm) {
  double all = 0;
  double such = 0;
  for (const EdgeSample& sample : samples) {
    if (!std::isfinite(sample.thickness_mm)) continue;  // the round ends of strokes
    all += sample.length_mm;
    if (near(sample.thickness_mm, thickness_mm, tolerance_mm)) such += sample.length_mm;
  }
  return such / all;
}

}  // namespace

TEST_CASE("a stroke of one bead is as wide as its bead, at any angle") {
  for (const double width_mm : {0.15, 0.3, 0.45, 0.8})
    for (const double angle : {0.0, 0.3, 1.1, 2.5}) {
      const auto samples =
          Laid().stroke({{50, 50}, {50 + 8 * std::cos(angle), 50 + 8 * std::sin(angle)}}, width_mm).measured();
      CHECK(near(thinnest(samples), width_mm, 1e-4));
      CHECK(share_at(samples, width_mm, 1e-4) > 0.99);
    }
}

TEST_CASE("a comb of bars from 0.15 to 1.2 mm is measured to 0.01 mm") {
  Laid comb;
  std::vector<double> widths;
  for (int i = 0; i < 22; ++i) {
    const double width_mm = 0.15 + 0.05 * i;
    widths.push_back(width_mm);
    const double x = 10 + 4 * i;
    // One bead up to 0.6 mm, an outline of 0.3 mm beads beyond.
    if (width_mm <= 0.6)
      comb.stroke({{x, 10}, {x, 20}}, width_mm);
    else
      comb.box(x - (width_mm - 0.3) / 2, 10, width_mm - 0.3, 10, 0.3).stroke({{x, 10.3}, {x, 19.7}}, width_mm - 0.6);
  }
  const auto samples = comb.measured();
  for (std::size_t i = 0; i < widths.size(); ++i) {
    double found = 1e9;
    for (const EdgeSample& sample : samples)
      if (std::abs(sample.at.x - (10 + 4 * static_cast<double>(i))) < 1.5) found = std::min(found, sample.thickness_mm);
    CHECK_MESSAGE(near(found, widths[i], 0.01), "bar of ", widths[i], " mm");
  }
}

TEST_CASE("a bar laid as outlines is as thick with fill as without") {
  // 10 mm long: outlines of 0.4 mm beads, once with a slit of 0.1 mm that no bead fits, once filled along.
  Laid hollow;
  hollow.box(10.2, 10.2, 9.6, 1.3, 0.4).box(10.6, 10.6, 8.8, 0.5, 0.4);
  CHECK(near(thinnest(hollow.measured()), 1.7, 0.01));
  Laid filled;
  filled.box(10.2, 10.2, 9.6, 1.6, 0.4);
  filled.stroke({{10.6, 10.6}, {19.4, 10.6}, {19.4, 11}, {10.6, 11}, {10.6, 11.4}, {19.4, 11.4}}, 0.4);
  CHECK(near(thinnest(filled.measured()), 2, 0.01));
}

TEST_CASE("an O of one bead is a stroke around a counter") {
  Laid letter;
  const auto samples = letter.circle({50, 50}, 2, 0.4).measured();
  CHECK(near(thinnest(samples), 0.4, 0.005));
  CHECK(share_at(samples, 0.4, 0.01) > 0.95);
  // The opening of 3.6 mm is wider than what is looked for.
  CHECK(narrowest_gap(samples) > 1.5);
}

TEST_CASE("the counter of a narrow O closes") {
  // Middle lines 0.7 mm apart, beads of 0.4 mm: 0.3 mm are left open.
  const auto samples = Laid().box(50, 50, 0.7, 4, 0.4).measured();
  CHECK(near(narrowest_gap(samples), 0.3, 0.005));
}

TEST_CASE("two strokes beside each other leave a gap, in one island or in two") {
  Laid letters;
  letters.stroke({{10, 10}, {10, 15}}, 0.4).stroke({{10.65, 10}, {10.65, 15}}, 0.4);
  CHECK(near(narrowest_gap(letters.measured()), 0.25, 1e-3));
  Laid joined;
  joined.stroke({{10, 15}, {10, 10}, {10.65, 10}, {10.65, 15}}, 0.4);
  CHECK(near(narrowest_gap(joined.measured()), 0.25, 1e-3));
  CHECK(joined.islands() == 1);
}

TEST_CASE("a T of two thick strokes has no thin place where they meet, nor at its ends") {
  // 1 mm thick, as outlines of 0.25 mm beads.
  Laid letter;
  letter.stroke({{10, 20},
                 {10, 19.25},
                 {12.125, 19.25},
                 {12.125, 14},
                 {12.875, 14},
                 {12.875, 19.25},
                 {15, 19.25},
                 {15, 20},
                 {10, 20}},
                0.25);
  letter.stroke({{10.3, 19.625}, {14.7, 19.625}}, 0.5).stroke({{12.5, 19.3}, {12.5, 14.3}}, 0.5);
  CHECK(near(thinnest(letter.measured()), 1, 0.01));
}

TEST_CASE("a thin stroke at a thick one is found") {
  Laid letter;
  letter.box(10, 10, 1.6, 6, 0.4).stroke({{10.8, 10.4}, {10.8, 15.6}}, 1.2).stroke({{11.6, 15}, {15, 15}}, 0.25);
  const auto samples = letter.measured();
  CHECK(letter.islands() == 1);
  CHECK(near(thinnest(samples), 0.25, 1e-3));
  CHECK(share_at(samples, 2, 0.01) > 0.3);
}
