#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace beadwise {

/// A measured point: at this nozzle temperature the drive began to slip at this flow.
struct SlipRow {
  double flow_mm3_per_s = 0;
  double nozzle_c = 0;
  std::uint64_t line = 0;  ///< of the table, from 1; 0 where there is none
};

/// Rows of slip and what they are called in messages.
struct SlipTable {
  std::string name;
  std::vector<SlipRow> rows;
};

/// A fitted value and its 95 % interval, `value` ± `half_width`.
struct Estimate {
  double value = 0;
  double half_width = 0;

  double low() const { return value - half_width; }
  double high() const { return value + half_width; }
};

/// A measured row beside the fit.
struct FittedRow {
  SlipRow row;
  double curve_c = 0;         ///< nozzle temperature at which the fit slips at this flow
  double core_c = 0;          ///< of the filament's core as it leaves
  double residual_c = 0;      ///< core less flow temperature
  bool stands_apart = false;  ///< farther off than the other rows' scatter explains
};

/// A point of the fitted curve, along which the drive begins to slip.
struct SlipPoint {
  double flow_mm3_per_s = 0;
  double nozzle_c = 0;
};

/// A melt zone as its owner measured it.
struct MeltZoneFit {
  Estimate alpha_l_mm3_per_s;   ///< thermal diffusivity × length of the melt zone
  Estimate flow_temperature_c;  ///< that the core needs, or the drive slips
  double correlation = 0;       ///< of the two, -1 to 1
  double scatter_c = 0;         ///< standard deviation of the residuals
  std::uint64_t degrees_of_freedom = 0;
  double inlet_c = 0;            ///< of the filament where it enters
  std::vector<FittedRow> rows;   ///< in order of the table
  std::vector<SlipPoint> curve;  ///< evenly spaced flows from near 0 to a little above the highest measured
};

}  // namespace beadwise
