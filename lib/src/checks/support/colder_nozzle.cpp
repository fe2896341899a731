#include "checks/support/colder_nozzle.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace beadwise::checks {

double shortest_residence_s(const Layer& layer, double melt_zone_mm) {
  const std::vector<Bead>& beads = layer.beads;
  double fed_mm = 0;    // up to the end of the bead that lets go
  double drawn_mm = 0;  // up to the beginning of the bead that draws in
  std::size_t drawn = 0;
  double least_s = std::numeric_limits<double>::infinity();
  for (const Bead& bead : beads) {
    fed_mm += static_cast<double>(bead.filament_mm);
    const double enters_mm = fed_mm - melt_zone_mm;
    if (enters_mm < 0) continue;
    for (; drawn + 1 < beads.size() && drawn_mm + static_cast<double>(beads[drawn].filament_mm) < enters_mm; ++drawn)
      drawn_mm += static_cast<double>(beads[drawn].filament_mm);
    const Bead& from = beads[drawn];
    const double filament_mm = static_cast<double>(from.filament_mm);
    const double share = filament_mm > 0 ? std::clamp((enters_mm - drawn_mm) / filament_mm, 0.0, 1.0) : 0;
    const double entered_s = from.start_s + share * static_cast<double>(from.duration_s);
    least_s = std::min(least_s, bead.start_s + static_cast<double>(bead.duration_s) - entered_s);
  }
  if (std::isfinite(least_s) || !(fed_mm > 0)) return least_s;
  return (layer.end_s - layer.start_s) * melt_zone_mm / fed_mm;
}

double coldest_c(const std::vector<MeltCandidate>& candidates, double residence_s, double share) {
  double needed_c = -std::numeric_limits<double>::infinity();
  for (const MeltCandidate& candidate : candidates)
    needed_c = std::max(needed_c, nozzle_c_for(candidate.setup, share * residence_s));
  return std::ceil(needed_c - 1e-6);
}

double speed_share_at(const std::vector<MeltCandidate>& candidates, double residence_s, double flow_mm3_per_s,
                      double share, double nozzle_c) {
  double speed_share = std::numeric_limits<double>::infinity();
  for (const MeltCandidate& candidate : candidates) {
    // Travels take as long as before, so that slower beads alone may have to do: as if there were no travels.
    const double steady = heated_flow_mm3_per_s(candidate.setup, nozzle_c) / flow_mm3_per_s;
    speed_share =
        std::min({speed_share, share * steady, share * residence_s / heating_time_s(candidate.setup, nozzle_c)});
  }
  return speed_share;
}

}  // namespace beadwise::checks
