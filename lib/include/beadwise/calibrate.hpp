#pragma once

#include <string_view>

#include "beadwise/calibration.hpp"

namespace beadwise {

/// Reads a table of slip: flow in mm³/s and nozzle temperature in °C, a row each line. Columns are parted by
/// semicolons, tabs or commas; a row of names is optional, `#` begins a comment. Throws Error{usage} with the line and
/// what to do.
SlipTable read_slip_table(std::string_view name, std::string_view text);

/// Fits melt zone and flow temperature by non-linear least squares: core temperature at the orifice (plug heated from
/// a wall at the nozzle's temperature, Fo = π αL/Q) less flow temperature. Intervals are those of the linearised fit,
/// 95 %, Student's t. Throws Error{usage} where the rows are too few or contradict each other or the model.
MeltZoneFit fit_melt_zone(const SlipTable& table);

}  // namespace beadwise
