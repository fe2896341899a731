#pragma once

#include <optional>
#include <string>

namespace beadwise::tests {

/// Where the filament of a job goes, reckoned line by line by other code than the library's.
struct FilamentLedger {
  double forward_mm = 0;      ///< all E forward
  double in_beads_mm = 0;     ///< of it: with a motion in X or Y
  double standing_mm = 0;     ///< of it: primes and pushes
  double highest_fed_mm = 0;  ///< the furthest that the filament ever was
};

/// Reads plain files of one tool: G0 to G3 and modal lines, units, distance modes, G92. Nothing where the file holds
/// anything beyond that could move filament or be read in two ways (firmware retraction, tool
/// changes, volumetric E, scaled flow, words that are no numbers).
std::optional<FilamentLedger> reckon_filament(const std::string& gcode);

}  // namespace beadwise::tests
