#include "checks/support/nozzle_range.hpp"

#include <string>

namespace beadwise::checks {

std::optional<Range> nozzle_range(const FilamentProfile& filament) {
  const bool several = filament.material.value.value_or("").find(" or ") != std::string::npos;
  if (!filament.nozzle_c.known() || (several && !filament.nozzle_c.stated())) return std::nullopt;
  const Range range = *filament.nozzle_c;
  if (!(range.high > range.low)) return std::nullopt;
  return range;
}

}  // namespace beadwise::checks
