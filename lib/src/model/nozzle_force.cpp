#include "model/nozzle_force.hpp"

#include <algorithm>

#include "model/feed_pressure.hpp"

namespace beadwise {

namespace {

// ABS, the thinner of two power laws in Acierno and Patti 2023, doi 10.3390/ma16247664, table 1.
constexpr PowerLaw abs_melt{6678, 0.49};

}  // namespace

std::optional<double> nozzle_force_n(const MachineProfile& machine, std::string_view material, double flow_mm3_per_s,
                                     double nozzle_c) {
  if (!machine.filament_diameter_mm.known()) return std::nullopt;
  HotEndShape shape;
  shape.orifice_radius_mm = machine.nozzle_diameter_mm.value.value_or(2 * shape.orifice_radius_mm) / 2;
  shape.barrel_radius_mm = std::max(shape.barrel_radius_mm, shape.orifice_radius_mm * 1.01);
  const double diameter_mm = *machine.filament_diameter_mm;
  if (material == "abs" || material == "asa")
    return feed_force_n(nozzle_mpa(abs_melt, flow_mm3_per_s, shape), diameter_mm);
  if (material == "pla") return feed_force_n(nozzle_mpa(pla_melt(), nozzle_c, flow_mm3_per_s, shape), diameter_mm);
  return std::nullopt;
}

}  // namespace beadwise
