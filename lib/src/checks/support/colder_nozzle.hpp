#pragma once

#include <vector>

#include "beadwise/bead.hpp"
#include "checks/support/melt_basis.hpp"

namespace beadwise::checks {

/// The shortest time in which a melt zone's length of filament passes while a layer is laid, s. One that takes less
/// filament stands for others like it; infinite where it takes none.
double shortest_residence_s(const Layer& layer, double melt_zone_mm);

/// The coldest set point, in whole degrees, at which filament that stays so long in the melt zone still uses no more
/// than `share` of the flow that is heated through, °C: the highest of all materials that it may be.
double coldest_c(const std::vector<MeltCandidate>& candidates, double residence_s, double share);

/// The share of their speed at which beads would do the same at a set point, whose filament stays so long now and of
/// which the fastest ask for `flow_mm3_per_s`; above 1 where they may go faster, 0 where no speed is slow enough.
double speed_share_at(const std::vector<MeltCandidate>& candidates, double residence_s, double flow_mm3_per_s,
                      double share, double nozzle_c);

}  // namespace beadwise::checks
