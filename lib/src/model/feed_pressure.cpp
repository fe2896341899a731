#include "model/feed_pressure.hpp"

#include <boost/math/quadrature/gauss.hpp>
#include <cmath>
#include <numbers>

#include "model/bead_geometry.hpp"

namespace beadwise {

namespace {

constexpr double kelvin = 273.15;
constexpr double pa_per_mpa = 1e6;
constexpr double pi = std::numbers::pi;

double radians(double degrees) { return degrees * pi / 180; }

double stress_pa(const CrossWlf& melt, double shear_rate, double celsius) {
  return viscosity_pa_s(melt, shear_rate, celsius) * shear_rate;
}

// Rabinowitsch: Q/(π r³) = (1/τw³) ∫ τ² g dτ from 0 to the wall; by parts (g_w − (1/τw³) ∫ τ³ dg)/3.
double flow_ratio(const CrossWlf& melt, double celsius, double wall_rate) {
  const double wall_pa = stress_pa(melt, wall_rate, celsius);
  const auto cubed = [&](double share) {
    const double ratio = stress_pa(melt, share * wall_rate, celsius) / wall_pa;
    return ratio * ratio * ratio;
  };
  // τ³ rises like g^(3n) away from the axis: the quadrature over √g has no kink there.
  const auto over_root = [&](double root) { return cubed(root * root) * 2 * root; };
  const double integral = boost::math::quadrature::gauss<double, 30>::integrate(over_root, 0.0, 1.0);
  return wall_rate * (1 - integral) / 3;
}

double wall_rate_of(const CrossWlf& melt, double celsius, double flow_mm3_per_s, double radius_mm) {
  const double wanted = flow_mm3_per_s / (pi * radius_mm * radius_mm * radius_mm);
  // A Newtonian fluid's wall rate is 4 Q/(π r³); shear thinning only makes it larger, by (3n+1)/(4n) at most.
  double low = 4 * wanted;
  double high = low * (3 * melt.index + 1) / (4 * melt.index);
  constexpr int halvings = 60;
  for (int i = 0; i < halvings; ++i) {
    const double middle = (low + high) / 2;
    (flow_ratio(melt, celsius, middle) < wanted ? low : high) = middle;
  }
  return (low + high) / 2;
}

}  // namespace

CrossWlf pla_melt() {
  return {
      .index = 0.25, .critical_stress_pa = 1.00861e5, .d1_pa_s = 3.31719e9, .d2_k = 373.15, .a1 = 20.194, .a2_k = 51.6};
}

double zero_shear_viscosity_pa_s(const CrossWlf& melt, double celsius) {
  const double above_k = celsius + kelvin - melt.d2_k;
  return melt.d1_pa_s * std::exp(-melt.a1 * above_k / (melt.a2_k + above_k));
}

double viscosity_pa_s(const CrossWlf& melt, double shear_rate, double celsius) {
  const double at_rest = zero_shear_viscosity_pa_s(melt, celsius);
  return at_rest / (1 + std::pow(at_rest * shear_rate / melt.critical_stress_pa, 1 - melt.index));
}

double capillary_mpa(const PowerLaw& melt, double flow_mm3_per_s, double radius_mm, double length_mm) {
  const double n = melt.index;
  const double rate = (3 * n + 1) / n * flow_mm3_per_s / (pi * radius_mm * radius_mm * radius_mm);
  return 2 * melt.consistency_pa_sn * length_mm / radius_mm * std::pow(rate, n) / pa_per_mpa;
}

double cone_mpa(const PowerLaw& melt, double flow_mm3_per_s, double half_angle_deg, double from_radius_mm,
                double to_radius_mm) {
  const double n = melt.index;
  const double rate = (3 * n + 1) / n * flow_mm3_per_s / pi;
  const double shape = std::pow(to_radius_mm, -3 * n) - std::pow(from_radius_mm, -3 * n);
  return 2 * melt.consistency_pa_sn / (3 * n * std::tan(radians(half_angle_deg))) * std::pow(rate, n) * shape /
         pa_per_mpa;
}

double nozzle_mpa(const PowerLaw& melt, double flow_mm3_per_s, const HotEndShape& shape) {
  return capillary_mpa(melt, flow_mm3_per_s, shape.barrel_radius_mm, shape.barrel_mm) +
         cone_mpa(melt, flow_mm3_per_s, shape.half_angle_deg, shape.barrel_radius_mm, shape.orifice_radius_mm) +
         capillary_mpa(melt, flow_mm3_per_s, shape.orifice_radius_mm, shape.land_mm);
}

double wall_stress_mpa(const CrossWlf& melt, double celsius, double flow_mm3_per_s, double radius_mm) {
  if (flow_mm3_per_s <= 0) return 0;
  return stress_pa(melt, wall_rate_of(melt, celsius, flow_mm3_per_s, radius_mm), celsius) / pa_per_mpa;
}

double nozzle_mpa(const CrossWlf& melt, double celsius, double flow_mm3_per_s, const HotEndShape& shape) {
  if (flow_mm3_per_s <= 0) return 0;
  const auto wall_mpa = [&](double radius_mm) { return wall_stress_mpa(melt, celsius, flow_mm3_per_s, radius_mm); };
  const auto tube_mpa = [&](double length_mm, double radius_mm) {
    return 2 * length_mm / radius_mm * wall_mpa(radius_mm);
  };
  // dP = 2 τw/r dz = 2 τw/tan a · dr/r, over the logarithm of the radius.
  const double slope = std::tan(radians(shape.half_angle_deg));
  const double cone = boost::math::quadrature::gauss<double, 15>::integrate(
      [&](double log_radius) { return 2 / slope * wall_mpa(std::exp(log_radius)); }, std::log(shape.orifice_radius_mm),
      std::log(shape.barrel_radius_mm));
  return tube_mpa(shape.barrel_mm, shape.barrel_radius_mm) + cone + tube_mpa(shape.land_mm, shape.orifice_radius_mm);
}

double feed_force_n(double pressure_mpa, double filament_diameter_mm) {
  return pressure_mpa * circle_area_mm2(filament_diameter_mm);
}

double load_ratio(double flow_mm3_per_s, double nozzle_c, double slip_c) {
  constexpr double c = 0.957;
  constexpr double d = 65.2;
  const double base = 1 - std::pow(c, flow_mm3_per_s + d);
  return std::pow(base, nozzle_c - slip_c);
}

double buckling_n(double modulus_mpa, double diameter_mm, double unsupported_mm, double end_factor) {
  const double second_moment_mm4 = pi * std::pow(diameter_mm, 4) / 64;
  const double length_mm = end_factor * unsupported_mm;
  return pi * pi * modulus_mpa * second_moment_mm4 / (length_mm * length_mm);
}

double feedability_per_s(double modulus_mpa, double viscosity_pa_s) {
  return modulus_mpa * pa_per_mpa / viscosity_pa_s;
}

}  // namespace beadwise
