#pragma once

#include <cstddef>
#include <string>

#include "beadwise/calibration.hpp"

namespace beadwise {

/// Nozzle temperature over flow: the measured points and the fitted curve, lines of at most `width` columns.
std::string slip_plot(const MeltZoneFit& fit, std::size_t width, bool ascii);

}  // namespace beadwise
