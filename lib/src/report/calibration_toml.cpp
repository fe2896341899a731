#include <fmt/format.h>

#include "beadwise/report.hpp"
#include "report/spoken.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

std::string material_line(const Setting<std::string>& material) {
  if (!material.known()) return {};
  const std::string statement = fmt::format("material = \"{}\"", shown(*material));
  if (material.stated()) return statement + '\n';
  return "# " + statement + "  # assumed; state yours\n";
}

}  // namespace

Estimate Calibration::melt_zone_mm() const {
  return {fit.alpha_l_mm3_per_s.value / *diffusivity_mm2_per_s,
          fit.alpha_l_mm3_per_s.half_width / *diffusivity_mm2_per_s};
}

std::string calibration_as_toml(const Calibration& calibration) {
  const Estimate zone = calibration.melt_zone_mm();
  const Estimate& flow_temperature = calibration.fit.flow_temperature_c;
  std::string out = fmt::format("# Melt zone from {} rows of slip, {}: beadwise calibrate\n",
                                calibration.fit.rows.size(), shown(calibration.table));
  out += "[machine]\n";
  out += fmt::format("melt_zone_mm = {}  # {} to {}, with the diffusivity below\n\n", spoken(zone.value, 2),
                     spoken(zone.low(), 1), spoken(zone.high(), 1));
  out += "[filament]\n" + material_line(calibration.material);
  out += fmt::format("diffusivity_mm2_per_s = {}\n", *calibration.diffusivity_mm2_per_s);
  out += fmt::format("flow_temperature_c = {}  # {} to {}\n", spoken(flow_temperature.value, 1),
                     spoken(flow_temperature.low(), 0), spoken(flow_temperature.high(), 0));
  return out;
}

}  // namespace beadwise
