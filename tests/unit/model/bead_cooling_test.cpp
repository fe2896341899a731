#include "model/bead_cooling.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>
#include <limits>

#include "model/bead_geometry.hpp"
#include "support/near.hpp"

using namespace beadwise;
using beadwise::tests::near;

namespace {

constexpr double width_mm = 0.45;
constexpr double height_mm = 0.2;

/// 0.45 × 0.2 mm of a plastic with 1150 kg/m³ and 1900 J/kgK, laid at 210 °C in air of 30 °C.
BeadCooling usual_bead(double convection_w_per_m2_k) {
  const double tau_s = cooling_time_constant_s({.density_g_per_cm3 = 1.15,
                                                .heat_capacity_j_per_kg_k = 1900,
                                                .area_mm2 = bead_area_mm2(width_mm, height_mm),
                                                .perimeter_mm = bead_perimeter_mm(width_mm, height_mm),
                                                .convection_w_per_m2_k = convection_w_per_m2_k});
  return {.start_c = 210, .ambient_c = 30, .time_constant_s = tau_s};
}

}  // namespace

TEST_CASE("the outline of a bead is two straight sides and two half circles") {
  // 2 × 0.25 + π × 0.2 = 1.12832
  CHECK(near(bead_perimeter_mm(0.45, 0.2), 1.12832, 1e-5));
  // w = h is a circle: π × 0.2; a thinner strand hangs round: π × 0.1.
  CHECK(near(bead_perimeter_mm(0.2, 0.2), 0.628319, 1e-6));
  CHECK(near(bead_perimeter_mm(0.1, 0.2), 0.314159, 1e-6));
}

TEST_CASE("a bead in moving air cools as the road model says") {
  // τ = 1150 × 1900 × 0.0814159e-3 / (h × 1.12832), and 30 + 180 exp(−t/τ)
  struct Row {
    double convection, tau_s, after_1_s, after_2_s, after_5_s, time_to_60_s;
  };
  const Row rows[] = {{20, 7.883, 188.6, 169.7, 125.5, 14.13},
                      {50, 3.153, 161.1, 125.5, 66.9, 5.65},
                      {75, 2.102, 141.9, 99.5, 46.7, 3.77},
                      {100, 1.577, 125.5, 80.6, 37.6, 2.83},
                      {200, 0.788, 80.6, 44.2, 30.3, 1.41}};
  for (const Row& row : rows) {
    CAPTURE(row.convection);
    const BeadCooling bead = usual_bead(row.convection);
    CHECK(near(bead.time_constant_s, row.tau_s, 5.1e-4));
    CHECK(near(bead.temperature_c(1), row.after_1_s, 0.051));
    CHECK(near(bead.temperature_c(2), row.after_2_s, 0.051));
    CHECK(near(bead.temperature_c(5), row.after_5_s, 0.051));
    CHECK(near(bead.time_to_s(60), row.time_to_60_s, 0.006));
  }
}

TEST_CASE("time and temperature undo each other") {
  const BeadCooling bead = usual_bead(60);
  for (const double time_s : {0.0, 0.3, 1.0, 4.0, 20.0})
    CHECK(near(bead.time_to_s(bead.temperature_c(time_s)), time_s, 1e-9));
}

TEST_CASE("ABS in still air takes eight seconds to its glass transition") {
  // The section above, 240 to 105 °C: 7.883 × ln(210/75) = 8.12 s; half the convection takes twice as long.
  BeadCooling bead = usual_bead(20);
  bead.start_c = 240;
  CHECK(near(bead.time_to_s(105), 8.12, 0.01));
  bead.time_constant_s *= 2;
  CHECK(near(bead.time_to_s(105), 16.23, 0.01));
}

TEST_CASE("nothing gets colder than the air, and what is cold need not wait") {
  const BeadCooling bead = usual_bead(75);
  CHECK(bead.time_to_s(210) == 0);
  CHECK(bead.time_to_s(240) == 0);
  CHECK(bead.time_to_s(30) == std::numeric_limits<double>::infinity());
  CHECK(bead.time_to_s(20) == std::numeric_limits<double>::infinity());
  CHECK(near(bead.temperature_c(1000), 30, 1e-9));
}

TEST_CASE("heat along the bead may be left out at printing speeds") {
  // The full road model: T decays with exp(−m v t), m = (√(1 + 4 a b) − 1) / 2a, a = k/(ρ c v), b = h P/(ρ c A v).
  const double v_m_per_s = 0.05;
  for (const double convection : {20.0, 75.0, 200.0}) {
    const double tau_s = usual_bead(convection).time_constant_s;
    const double a = 0.2 / (1150 * 1900 * v_m_per_s);
    const double b = 1 / (tau_s * v_m_per_s);
    const double m = (std::sqrt(1 + 4 * a * b) - 1) / (2 * a);
    CHECK(near(1 / (m * v_m_per_s) / tau_s, 1, 1e-3));
  }
}
