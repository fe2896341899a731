#pragma once

#include <optional>
#include <string_view>

#include "beadwise/profile.hpp"

namespace beadwise {

/// Force on the filament from the pressure of the melt alone, N, in a hot end of common shape with the profile's
/// nozzle: a lower bound, since neither the unmelted core nor the melt that flows back is in it. None where no
/// viscosity of `material` was found (known: pla, abs, asa) or no filament diameter is known.
std::optional<double> nozzle_force_n(const MachineProfile& machine, std::string_view material, double flow_mm3_per_s,
                                     double nozzle_c);

}  // namespace beadwise
