#pragma once

namespace beadwise {

// Pressures in MPa (N/mm²), lengths in mm, flows in mm³/s, viscosities in Pa s, shear rates in 1/s.

/// η = K g^(n−1).
struct PowerLaw {
  double consistency_pa_sn = 0;  ///< K, Pa sⁿ
  double index = 1;              ///< n
};

/// η = η0/(1 + (η0 g/τ*)^(1−n)), η0 = D1 exp(−A1 (T − D2)/(A2 + T − D2)).
struct CrossWlf {
  double index = 1;               ///< n
  double critical_stress_pa = 0;  ///< τ*
  double d1_pa_s = 0;
  double d2_k = 0;
  double a1 = 0;
  double a2_k = 0;
};

/// A set that is often used for PLA in papers on injection moulding; from memory, the original paper was not found. Its
/// τ* and η0 agree with what Acierno and Patti 2023, doi 10.3390/ma16247664, table 1, collected.
CrossWlf pla_melt();

/// Viscosity at no shear, Pa s.
double zero_shear_viscosity_pa_s(const CrossWlf& melt, double celsius);
double viscosity_pa_s(const CrossWlf& melt, double shear_rate, double celsius);

/// What melt passes on its way out: a barrel, a cone and the land before the orifice.
struct HotEndShape {
  double barrel_mm = 10;
  double barrel_radius_mm = 1;
  double half_angle_deg = 30;
  double land_mm = 0.6;
  double orifice_radius_mm = 0.2;
};

/// Pressure drop along a tube: ΔP = (2 K L/r) ((3n+1)/n · Q/(π r³))ⁿ. Derived; Bird, Armstrong and Hassager (from
/// memory).
double capillary_mpa(const PowerLaw& melt, double flow_mm3_per_s, double radius_mm, double length_mm);
/// Pressure drop along a cone, by lubrication: ΔP = 2K/(3 n tan a) ((3n+1)/n · Q/π)ⁿ (R2^(−3n) − R1^(−3n)). Derived.
/// (The form that is usually copied is twice that.)
double cone_mpa(const PowerLaw& melt, double flow_mm3_per_s, double half_angle_deg, double from_radius_mm,
                double to_radius_mm);
/// Barrel, cone and land together.
double nozzle_mpa(const PowerLaw& melt, double flow_mm3_per_s, const HotEndShape& shape);

/// Shear stress at the wall of a tube, MPa: the flow of a Cross fluid by Rabinowitsch's integral.
double wall_stress_mpa(const CrossWlf& melt, double celsius, double flow_mm3_per_s, double radius_mm);
/// Barrel, cone and land together, all at one temperature. A lower bound: neither the unmelted core nor the melt that
/// flows back between filament and wall is in it.
double nozzle_mpa(const CrossWlf& melt, double celsius, double flow_mm3_per_s, const HotEndShape& shape);

/// Force on filament against a pressure, N.
double feed_force_n(double pressure_mpa, double filament_diameter_mm);

/// Share of the drive's largest load that feeding takes, 1 where it slips: P = a^(T − T_slip), a = 1 − c^(Q + d), with
/// c = 0.957, d = 65.2. Fit of Read et al. 2024, doi 10.1007/s40192-024-00350-w, figure 4, to ABS and one extruder.
double load_ratio(double flow_mm3_per_s, double nozzle_c, double slip_c);

/// Force at which a round strut of filament between drive gear and guide buckles, N: π² E I/(k L)². Euler; k is 1 for
/// ends that may tilt, 0.5 for ends that are held.
double buckling_n(double modulus_mpa, double diameter_mm, double unsupported_mm, double end_factor);

/// Modulus over apparent viscosity, 1/s. Filament is said to buckle below 3e5 to 5e5: Venkataraman et al. 2000, Rapid
/// Prototyp. J. 6:244 (from memory).
double feedability_per_s(double modulus_mpa, double viscosity_pa_s);

}  // namespace beadwise
