#pragma once

#include <string>

#include "beadwise/profile.hpp"
#include "model/typical_value.hpp"

namespace beadwise::checks {

/// How far to pull the filament back before travels through the open, mm.
struct PullBackLengths {
  static constexpr double enough_direct_mm = 0.3;  ///< common practice: 0.5 to 2 mm
  static constexpr double enough_bowden_mm = 2;    ///< common practice: 3 to 7 mm
  // What is usual.
  static constexpr double usual_direct_mm = 0.8;
  static constexpr double usual_bowden_mm = 4;
};

bool is_bowden(const MachineProfile& machine);

/// A sentence on what to pull back before such travels: as the file does elsewhere (`pulled_mm`), else what is usual.
std::string pull_back_remedy(const MachineProfile& machine, const TypicalValue& pulled_mm);

}  // namespace beadwise::checks
