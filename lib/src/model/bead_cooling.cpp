#include "model/bead_cooling.hpp"

#include <cmath>
#include <limits>
#include <numbers>

namespace beadwise {

double bead_perimeter_mm(double width_mm, double height_mm) {
  if (width_mm <= height_mm) return std::numbers::pi * width_mm;
  return 2 * (width_mm - height_mm) + std::numbers::pi * height_mm;
}

double cooling_time_constant_s(const CoolingSection& section) {
  constexpr double kg_per_m3_in_g_per_cm3 = 1000;
  constexpr double mm_in_m = 1000;
  return section.density_g_per_cm3 * kg_per_m3_in_g_per_cm3 * section.heat_capacity_j_per_kg_k * section.area_mm2 /
         (section.convection_w_per_m2_k * section.perimeter_mm * mm_in_m);
}

double BeadCooling::temperature_c(double time_s) const {
  return ambient_c + (start_c - ambient_c) * std::exp(-time_s / time_constant_s);
}

double BeadCooling::time_to_s(double temperature_c) const {
  if (start_c <= temperature_c) return 0;
  if (temperature_c <= ambient_c) return std::numeric_limits<double>::infinity();
  return time_constant_s * std::log((start_c - ambient_c) / (temperature_c - ambient_c));
}

}  // namespace beadwise
