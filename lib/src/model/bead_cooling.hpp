#pragma once

namespace beadwise {

/// Outline of the cross-section of a bead, mm: a rectangle with round ends, P = 2 (w − h) + π h; of a strand that is no
/// wider than high, the circle of width w.
double bead_perimeter_mm(double width_mm, double height_mm);

/// How a bead that is warm throughout loses its heat to the air around it, one section like the other:
/// T(t) = T∞ + (T0 − T∞) exp(−t/τ) with τ = ρ c A / (h P).
/// Heat along the bead is left out: at printing speeds it moves τ by less than a thousandth. Road model of Rodriguez,
/// Thomas and Renaud 2000, Rapid Prototyp. J. 6, and Li, Sun, Bellehumeur and Gu 2002, J. Manuf. Process. 4:129 (from
/// memory).
struct BeadCooling {
  double start_c = 0;    ///< as it is laid
  double ambient_c = 0;  ///< of the air around it
  double time_constant_s = 0;

  /// After `time_s`.
  double temperature_c(double time_s) const;
  /// Until it is down to `temperature_c`: 0 where it starts no warmer, infinite where the air is no colder.
  double time_to_s(double temperature_c) const;
};

/// What of a bead's surroundings and material sets how fast it cools.
struct CoolingSection {
  double density_g_per_cm3 = 0;
  double heat_capacity_j_per_kg_k = 0;
  double area_mm2 = 0;               ///< A, of the cross-section
  double perimeter_mm = 0;           ///< P, of what the air reaches
  double convection_w_per_m2_k = 0;  ///< h
};

/// τ = ρ c A / (h P), s.
double cooling_time_constant_s(const CoolingSection& section);

}  // namespace beadwise
