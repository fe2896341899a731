#include "model/return_times.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>
#include <numbers>

#include "support/near.hpp"

using namespace beadwise;
using beadwise::tests::near;

namespace {

constexpr double height_mm = 0.2;

/// Ten pieces of 1 mm along X, laid in a second, forwards or backwards.
void lay_line(ReturnTimes& times, double y_mm, double z_mm, double start_s, double cooling_s, bool backwards = false) {
  for (int i = 0; i < 10; ++i) {
    const double x_mm = backwards ? 9.5 - i : 0.5 + i;
    times.add({.at_mm = {x_mm, y_mm, z_mm},
               .height_mm = height_mm,
               .length_mm = 1,
               .time_s = start_s + 0.1 * i,
               .cooling_s = cooling_s});
  }
}

}  // namespace

TEST_CASE("the first layer lies on nothing") {
  ReturnTimes times;
  lay_line(times, 1, 0.2, 0, 3);
  CHECK(times.finish_layer().judged_mm == 0);
}

TEST_CASE("a layer laid 4 s after the one below is early where that needs 5 s, and not where it needs 3 s") {
  for (const bool hot : {false, true}) {
    ReturnTimes times;
    lay_line(times, 1, 0.2, 0, hot ? 5 : 3);
    times.finish_layer();
    lay_line(times, 1, 0.4, 4, 99);
    const LayerReturn layer = times.finish_layer();
    CHECK(near(layer.judged_mm, 10, 1e-6));
    CHECK(near(layer.early_mm, hot ? 10 : 0, 1e-6));
    if (!hot) continue;
    CHECK(near(layer.early_after_s, 4, 1e-6));
    CHECK(near(layer.early_needed_s, 5, 1e-6));
  }
}

TEST_CASE("the order within a layer does not change the mean") {
  // Forwards, then backwards: 4 s from start to start, at each place between 3.1 and 4.9 s.
  ReturnTimes times;
  lay_line(times, 1, 0.2, 0, 5);
  times.finish_layer();
  lay_line(times, 1, 0.4, 4, 5, true);
  const LayerReturn layer = times.finish_layer();
  CHECK(near(layer.early_mm, 10, 1e-6));
  CHECK(near(layer.early_after_s, 4, 1e-6));
}

TEST_CASE("what is laid beside says nothing about what lies below") {
  // A support at a height of its own is laid half a second after the part, elsewhere.
  ReturnTimes times;
  lay_line(times, 1, 0.2, 0, 3);
  lay_line(times, 21, 0.2, 1, 3);
  times.finish_layer();
  lay_line(times, 21, 0.45, 10, 3);
  CHECK(times.finish_layer().early_mm == 0);
  lay_line(times, 1, 0.4, 11, 3);
  const LayerReturn part = times.finish_layer();
  CHECK(near(part.judged_mm, 10, 1e-6));
  CHECK(part.early_mm == 0);
}

TEST_CASE("a bead beside another in the same layer is no return") {
  ReturnTimes times;
  lay_line(times, 0.5, 0.2, 0, 5);
  lay_line(times, 1.0, 0.2, 1, 5);
  CHECK(times.finish_layer().judged_mm == 0);
}

TEST_CASE("a spiral comes back once a turn") {
  // 20 mm across, 4 s a turn, 0.2 mm of climb: each place is passed every 4 s.
  ReturnTimes times;
  constexpr int pieces = 60;
  LayerReturn turn;
  for (int i = 0; i < 6 * pieces; ++i) {
    const double angle = 2 * std::numbers::pi * i / pieces;
    times.add({.at_mm = {50 + 10 * std::cos(angle), 50 + 10 * std::sin(angle), 0.2 + 0.2 * i / pieces},
               .height_mm = height_mm,
               .length_mm = 1,
               .time_s = 4.0 * i / pieces,
               .cooling_s = 5});
    if (i % pieces == pieces - 1) turn = times.finish_layer();
  }
  CHECK(near(turn.judged_mm, pieces, 1e-6));
  CHECK(near(turn.early_mm, pieces, 1e-6));
  CHECK(near(turn.early_after_s, 4, 0.1));
}

TEST_CASE("places that no machine has are left out") {
  ReturnTimes times;
  times.add({.at_mm = {1e9, 0, 0.2}, .height_mm = 0.2, .length_mm = 1, .time_s = 0, .cooling_s = 1});
  times.add({.at_mm = {1e9, 0, 0.4}, .height_mm = 0.2, .length_mm = 1, .time_s = 0.1, .cooling_s = 1});
  CHECK(times.finish_layer().judged_mm == 0);
}
