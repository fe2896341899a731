#include "model/printed_area.hpp"

#if defined(__GNUC__) && !defined(__clang__)
// GCC 12 takes the envelopes of Boost.Geometry 1.74 for used before they are set.
#pragma GCC diagnostic ignored "-Wmaybe-uninitialized"
#endif
// Its own headers include one that it calls deprecated.
#define BOOST_ALLOW_DEPRECATED_HEADERS

#include <doctest/doctest.h>

#include <algorithm>
#include <boost/geometry.hpp>
#include <boost/geometry/geometries/linestring.hpp>
#include <boost/geometry/geometries/multi_polygon.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>
#include <cmath>
#include <limits>
#include <numbers>
#include <random>
#include <vector>

#include "support/near.hpp"

using namespace beadwise;
using beadwise::tests::near;

namespace {

constexpr double pi = std::numbers::pi;
// What is promised, of the figure checked.
constexpr double one_per_cent = 0.01;

Footprint bead(PlanePoint from, PlanePoint to, double width_mm) {
  return {.from_x_mm = static_cast<float>(from.x),
          .from_y_mm = static_cast<float>(from.y),
          .to_x_mm = static_cast<float>(to.x),
          .to_y_mm = static_cast<float>(to.y),
          .half_width_mm = static_cast<float>(width_mm / 2)};
}

AreaMoments moments_of(const std::vector<Footprint>& footprints) { return PrintedArea().of(footprints); }

bool within(double measured, double expected, double ratio) { return near(measured, expected, ratio * expected); }

std::vector<Footprint> ring(PlanePoint middle, double radius_mm, double width_mm, int chords) {
  std::vector<Footprint> footprints;
  const auto corner = [&](int i) {
    const double angle = 2 * pi * i / chords;
    return PlanePoint{middle.x + radius_mm * std::cos(angle), middle.y + radius_mm * std::sin(angle)};
  };
  for (int i = 0; i < chords; ++i) footprints.push_back(bead(corner(i), corner(i + 1), width_mm));
  return footprints;
}

/// The same area by Boost.Geometry: each bead's middle line, widened with round ends, and all of them united.
double area_by_boost(const std::vector<Footprint>& footprints) {
  namespace bg = boost::geometry;
  using Point = bg::model::d2::point_xy<double>;
  using Polygons = bg::model::multi_polygon<bg::model::polygon<Point>>;
  constexpr std::size_t points_per_circle = 120;
  Polygons all;
  for (const Footprint& footprint : footprints) {
    const bg::model::linestring<Point> line{{footprint.from().x, footprint.from().y},
                                            {footprint.to().x, footprint.to().y}};
    Polygons one;
    bg::buffer(line, one, bg::strategy::buffer::distance_symmetric<double>(footprint.half_mm()),
               bg::strategy::buffer::side_straight(), bg::strategy::buffer::join_round(points_per_circle),
               bg::strategy::buffer::end_round(points_per_circle),
               bg::strategy::buffer::point_circle(points_per_circle));
    Polygons both;
    bg::union_(all, one, both);
    all = std::move(both);
  }
  return bg::area(all);
}

}  // namespace

TEST_CASE("one bead covers its length times its width and the circle of its two ends") {
  for (const double angle : {0.0, 0.1, pi / 4, 1.2, pi / 2, 2.9})
    for (const double length_mm : {0.45, 3.0, 80.0}) {
      const PlanePoint to{70 + length_mm * std::cos(angle), 40 + length_mm * std::sin(angle)};
      const double area_mm2 = moments_of({bead({70, 40}, to, 0.45)}).area_mm2;
      CHECK(within(area_mm2, 0.45 * length_mm + pi * 0.45 * 0.45 / 4, one_per_cent));
    }
}

TEST_CASE("where two beads cross, the square in the middle counts once") {
  // 2 (w L + π w²/4) − w² with w = 0.5 and L = 10.
  const double one_mm2 = 0.5 * 10 + pi * 0.25 / 4;
  const auto cross = {bead({0, 0}, {10, 0}, 0.5), bead({5, -5}, {5, 5}, 0.5)};
  CHECK(within(moments_of(cross).area_mm2, 2 * one_mm2 - 0.25, one_per_cent));
}

TEST_CASE("a bead laid twice covers no more than once") {
  const auto once = {bead({3, 4}, {20, 9}, 0.6)};
  const auto twice = {bead({3, 4}, {20, 9}, 0.6), bead({20, 9}, {3, 4}, 0.6)};
  CHECK(near(moments_of(twice).area_mm2, moments_of(once).area_mm2, 1e-4));
}

TEST_CASE("a ring covers its middle line times its width, and its hole is empty") {
  // π ((r + w/2)² − (r − w/2)²) = 2 π r w, as 2 × 360 × 2 chords are a circle within 1e-5.
  const AreaMoments moments = moments_of(ring({100, 60}, 8, 0.45, 720));
  CHECK(within(moments.area_mm2, 2 * pi * 8 * 0.45, one_per_cent));
  CHECK(near(moments.middle_mm().x, 100, 0.01));
  CHECK(near(moments.middle_mm().y, 60, 0.01));
  // I = π/4 (R⁴ − r⁴), the same in every direction.
  const double expected_mm4 = pi / 4 * (std::pow(8.225, 4) - std::pow(7.775, 4));
  for (const double angle : {0.0, 0.7, 1.5, 2.6})
    CHECK(within(moments.second_moment_mm4({std::cos(angle), std::sin(angle)}), expected_mm4, 2 * one_per_cent));
}

TEST_CASE("a filled rectangle has the area and the second moments of a rectangle, far from the origin too") {
  // Strokes 0.4 mm wide and 0.4 mm apart, 30 mm long with their round ends, 10 mm across.
  std::vector<Footprint> strokes;
  for (int i = 0; i < 25; ++i) strokes.push_back(bead({200.2, 150.2 + 0.4 * i}, {229.8, 150.2 + 0.4 * i}, 0.4));
  const AreaMoments moments = moments_of(strokes);
  CHECK(within(moments.area_mm2, 30 * 10, one_per_cent));
  CHECK(near(moments.middle_mm().x, 215, 0.02));
  CHECK(near(moments.middle_mm().y, 155, 0.02));
  CHECK(within(moments.second_moment_mm4({1, 0}), 10 * 30. * 30 * 30 / 12, 2 * one_per_cent));
  CHECK(within(moments.second_moment_mm4({0, 1}), 30 * 10. * 10 * 10 / 12, 2 * one_per_cent));
}

TEST_CASE("regions side by side add up") {
  const auto left = {bead({0, 0}, {10, 3}, 0.5)};
  const auto right = {bead({40, 5}, {60, 5}, 0.8)};
  const auto both = {bead({0, 0}, {10, 3}, 0.5), bead({40, 5}, {60, 5}, 0.8)};
  AreaMoments sum = moments_of(left);
  sum.add(moments_of(right));
  CHECK(within(moments_of(both).area_mm2, sum.area_mm2, one_per_cent));
  CHECK(within(moments_of(both).second_moment_mm4({1, 0}), sum.second_moment_mm4({1, 0}), one_per_cent));
}

TEST_CASE("nothing covers nothing, and a bead without width neither") {
  CHECK(moments_of({}).area_mm2 == 0);
  CHECK(moments_of({bead({0, 0}, {10, 0}, 0)}).area_mm2 == 0);
  CHECK(moments_of({}).second_moment_mm4({1, 0}) == 0);
}

TEST_CASE("beads that no machine lays are left out: threads, and places beyond any plate") {
  const double infinite = std::numeric_limits<double>::infinity();
  const std::vector<Footprint> broken{bead({0, 0}, {0, 0}, 1e-30), bead({1, 0}, {1, 0}, 1e-30),
                                      bead({0, 0}, {1e30, 0}, 0.4), bead({0, infinite}, {1, 1}, 0.4),
                                      bead({0, std::nan("")}, {1, 1}, 0.4)};
  CHECK(moments_of(broken).area_mm2 == 0);
  std::vector<Footprint> with_one = broken;
  with_one.push_back(bead({10, 10}, {20, 10}, 0.4));
  CHECK(within(moments_of(with_one).area_mm2, 0.4 * 10 + pi * 0.16 / 4, one_per_cent));
}

TEST_CASE("a plate full of strokes is measured within one per cent though its scanlines are far apart") {
  // 250 × 250 mm in strokes at 45°, each 0.4 mm wide with a slit of 0.04 mm to the next: uncovered 1 − 0.4/0.44.
  std::vector<Footprint> strokes;
  const double step_mm = 0.44 * std::numbers::sqrt2;
  double length_mm = 0;
  for (double offset = -250 + step_mm; offset < 250; offset += step_mm) {
    const PlanePoint from{std::max(0.0, -offset), std::max(0.0, offset)};
    const PlanePoint to{std::min(250.0, 250 - offset), std::min(250.0, 250 + offset)};
    length_mm += std::hypot(to.x - from.x, to.y - from.y);
    strokes.push_back(bead(from, to, 0.4));
  }
  const double expected_mm2 = 0.4 * length_mm + static_cast<double>(strokes.size()) * pi * 0.16 / 4;
  CHECK(within(moments_of(strokes).area_mm2, expected_mm2, one_per_cent));
}

TEST_CASE("random beads cover what Boost.Geometry says that they cover") {
  std::mt19937 random(4);
  std::uniform_real_distribution<double> place(0, 12);
  std::uniform_real_distribution<double> width(0.25, 1.2);
  for (int sample = 0; sample < 25; ++sample) {
    std::vector<Footprint> footprints;
    for (int i = 0; i < 2 + sample; ++i)
      footprints.push_back(bead({place(random), place(random)}, {place(random), place(random)}, width(random)));
    const double expected_mm2 = area_by_boost(footprints);
    const double measured_mm2 = moments_of(footprints).area_mm2;
    INFO("sample ", sample, ": Boost.Geometry ", expected_mm2, " mm², measured ", measured_mm2, " mm²");
    CHECK(within(measured_mm2, expected_mm2, one_per_cent));
  }
}
