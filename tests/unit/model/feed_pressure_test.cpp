#include "model/feed_pressure.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <numbers>

#include "support/near.hpp"

namespace beadwise::tests {

namespace {

constexpr double pi = std::numbers::pi;

/// Simpson's rule; for smooth functions.
template <class F>
double integral(F f, double from, double to, int steps) {
  const double step = (to - from) / steps;
  double sum = f(from) + f(to);
  for (int i = 1; i < steps; ++i) sum += f(from + i * step) * (i % 2 == 1 ? 4 : 2);
  return sum * step / 3;
}

/// Flow through a tube at a wall stress, by Rabinowitsch's integral over the stress, with the shear rate of each stress
/// found by halving: Q = (π r³/τw³) ∫ τ² g(τ) dτ.
double flow_at_stress(const CrossWlf& melt, double celsius, double wall_pa, double radius_mm) {
  const auto rate_at = [&](double stress_pa) {
    double low = 0;
    double high = 1e7;
    for (int i = 0; i < 100; ++i) {
      const double middle = (low + high) / 2;
      (viscosity_pa_s(melt, middle, celsius) * middle < stress_pa ? low : high) = middle;
    }
    return (low + high) / 2;
  };
  const auto weighted = [&](double stress_pa) { return stress_pa * stress_pa * rate_at(stress_pa); };
  return pi * std::pow(radius_mm, 3) / std::pow(wall_pa, 3) * integral(weighted, 0, wall_pa, 2000);
}

}  // namespace

TEST_CASE("a Newtonian melt in a tube: Hagen and Poiseuille") {
  // 8 μ L Q/(π r⁴) = 8 × 1000 × 1 × 5/(π × 0.2⁴) = 7.957747e6 Pa
  CHECK(near(capillary_mpa({1000, 1}, 5, 0.2, 1), 7.957747, 1e-6));
  CHECK(near(8 * 1000 * 1 * 5 / (pi * std::pow(0.2, 4)) / 1e6, 7.957747, 1e-6));
}

TEST_CASE("power law: barrel, cone and land by their closed forms") {
  // K 5000 Pa sⁿ, n 0.4, Q 5 mm³/s, half angle 30°, radius 1 to 0.2 mm.
  const PowerLaw melt{5000, 0.4};
  CHECK(near(cone_mpa(melt, 5, 30, 1, 0.2), 0.2027706, 1e-7));
  CHECK(near(capillary_mpa(melt, 5, 1, 10), 0.2381624, 1e-7));
  CHECK(near(capillary_mpa(melt, 5, 0.2, 0.6), 0.4928995, 1e-7));
  CHECK(near(nozzle_mpa(melt, 5, HotEndShape{}), 0.9338325, 2e-7));
  // × π 1.75²/4 = 2.405282 mm²
  CHECK(near(feed_force_n(0.9338325, 1.75), 2.246, 5e-4));
}

TEST_CASE("the cone is the integral of short tubes, not twice that as the usual form has it") {
  const PowerLaw melt{5000, 0.4};
  const auto per_radius = [&](double r) { return capillary_mpa(melt, 5, r, 1) / std::tan(pi / 6); };
  const double summed = integral(per_radius, 0.2, 1, 20000);
  CHECK(near(summed, 0.2027706, 1e-7));
  CHECK(near(cone_mpa(melt, 5, 30, 1, 0.2), summed, 1e-7));
  CHECK(near(2 * summed, 0.4055412, 2e-7));
}

TEST_CASE("ABS by the power laws that were published for it") {
  // Acierno and Patti 2023, doi 10.3390/ma16247664, table 1: both ends. Q 5 mm³/s, 0.4 mm: 4.75 and 6.05 N on 1.75 mm.
  CHECK(near(nozzle_mpa(PowerLaw{6678, 0.49}, 5, HotEndShape{}), 1.976, 5e-4));
  CHECK(near(nozzle_mpa(PowerLaw{12189, 0.42}, 5, HotEndShape{}), 2.515, 5e-4));
}

TEST_CASE("viscosity of the PLA set over temperature and shear rate") {
  struct Row {
    double celsius, at_rest, at_100, at_1000, at_5000;
  };
  constexpr std::array rows{Row{190, 8841.5, 1450.7, 298.21, 91.35}, Row{200, 5441.5, 1198.6, 260.28, 80.54},
                            Row{210, 3556.3, 995.30, 229.89, 72.02}, Row{220, 2442.3, 830.40, 204.96, 65.13},
                            Row{230, 1748.2, 696.32, 184.12, 59.45}};
  for (const Row& row : rows) {
    CAPTURE(row.celsius);
    CHECK(near(zero_shear_viscosity_pa_s(pla_melt(), row.celsius), row.at_rest, 0.06));
    CHECK(near(viscosity_pa_s(pla_melt(), 100, row.celsius), row.at_100, 0.06));
    CHECK(near(viscosity_pa_s(pla_melt(), 1000, row.celsius), row.at_1000, 0.006));
    CHECK(near(viscosity_pa_s(pla_melt(), 5000, row.celsius), row.at_5000, 0.006));
  }
}

TEST_CASE("wall stress of a Cross fluid keeps to Rabinowitsch's integral, made another way") {
  for (const double flow : {0.1, 2.0, 20.0})
    for (const double radius_mm : {0.125, 0.4, 1.0}) {
      CAPTURE(flow);
      CAPTURE(radius_mm);
      const double wall_mpa = wall_stress_mpa(pla_melt(), 210, flow, radius_mm);
      CHECK(near(flow_at_stress(pla_melt(), 210, wall_mpa * 1e6, radius_mm) / flow, 1, 1e-5));
    }
  // Without shear thinning: τw = η 4 Q/(π r³).
  CrossWlf newtonian = pla_melt();
  newtonian.index = 1;
  const double viscosity = zero_shear_viscosity_pa_s(newtonian, 210) / 2;
  CHECK(near(wall_stress_mpa(newtonian, 210, 5, 0.2), viscosity * 4 * 5 / (pi * 0.008) / 1e6, 1e-6));
}

TEST_CASE("pressure of the PLA set through barrel, cone and land, and the force on filament of 1.75 mm") {
  struct Row {
    double flow, celsius, orifice_mm, wall_kpa, total_mpa, force_n;
  };
  constexpr std::array rows{Row{2, 210, 0.4, 179.7, 1.618, 3.89},  Row{5, 210, 0.4, 244.6, 2.414, 5.81},
                            Row{10, 210, 0.4, 301.0, 3.215, 7.73}, Row{5, 190, 0.4, 320.3, 3.509, 8.44},
                            Row{5, 230, 0.4, 193.4, 1.775, 4.27},  Row{5, 210, 0.25, 368.0, 4.973, 11.96},
                            Row{10, 210, 0.6, 206.3, 1.880, 4.52}, Row{20, 210, 0.8, 194.6, 1.963, 4.72}};
  for (const Row& row : rows) {
    CAPTURE(row.flow);
    CAPTURE(row.celsius);
    CAPTURE(row.orifice_mm);
    HotEndShape shape;
    shape.orifice_radius_mm = row.orifice_mm / 2;
    CHECK(near(wall_stress_mpa(pla_melt(), row.celsius, row.flow, row.orifice_mm / 2) * 1000, row.wall_kpa, 0.1));
    const double total_mpa = nozzle_mpa(pla_melt(), row.celsius, row.flow, shape);
    CHECK(near(total_mpa, row.total_mpa, 0.002));
    CHECK(near(feed_force_n(total_mpa, 1.75), row.force_n, 0.006));
  }
}

TEST_CASE("pressure against flow: steeper through a finer orifice, less at a higher temperature") {
  HotEndShape fine;
  fine.orifice_radius_mm = 0.125;
  CHECK(nozzle_mpa(pla_melt(), 210, 5, fine) > 2 * nozzle_mpa(pla_melt(), 210, 5, HotEndShape{}));
  CHECK(nozzle_mpa(pla_melt(), 230, 5, HotEndShape{}) < 0.75 * nozzle_mpa(pla_melt(), 210, 5, HotEndShape{}));
  CHECK(nozzle_mpa(pla_melt(), 210, 0, HotEndShape{}) == 0);
}

TEST_CASE("load on the drive after Read et al.: 1 where it slips, the bases of their table 3") {
  struct Row {
    double flow, base;
  };
  // a of their table 3: 0.953, 0.960, 0.970, 0.976, 0.980; of the fit over all flows: 0.954, 0.963, 0.971, 0.976,
  // 0.981.
  constexpr std::array rows{Row{5, 0.954}, Row{10, 0.963}, Row{15, 0.971}, Row{20, 0.976}, Row{25, 0.981}};
  for (const Row& row : rows) {
    CHECK(near(load_ratio(row.flow, 200, 200), 1, 1e-12));
    CHECK(near(load_ratio(row.flow, 201, 200), row.base, 6e-4));
  }
}

TEST_CASE("filament buckles between gear and guide after Euler") {
  // I = π 1.75⁴/64 = 0.460386 mm⁴; 10 mm, ends that may tilt: PLA 159.0 N, ABS 99.96 N, TPU of 50 MPa 2.27 N, of 15 MPa
  // 0.68 N; half the length or held ends: four times as much.
  CHECK(near(buckling_n(3500, 1.75, 10, 1), 159.0, 0.05));
  CHECK(near(buckling_n(2200, 1.75, 10, 1), 99.96, 0.01));
  CHECK(near(buckling_n(50, 1.75, 10, 1), 2.27, 0.005));
  CHECK(near(buckling_n(50, 1.75, 5, 1), 9.09, 0.005));
  CHECK(near(buckling_n(15, 1.75, 10, 1), 0.68, 0.005));
  CHECK(near(buckling_n(50, 1.75, 10, 0.5), buckling_n(50, 1.75, 5, 1), 1e-12));
}

TEST_CASE("feedability is modulus over viscosity") {
  // PLA at 210 °C and 1000 1/s: 3.5e9/230 = 1.5e7, far above 3e5; soft TPU: 15e6/300 = 5e4, below it.
  CHECK(near(feedability_per_s(3500, 230) / 1e7, 1.52, 0.005));
  CHECK(near(feedability_per_s(15, 300), 5e4, 1e-6));
}

}  // namespace beadwise::tests
