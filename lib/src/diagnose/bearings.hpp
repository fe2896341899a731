#pragma once

#include <cstdint>
#include <span>
#include <string_view>
#include <vector>

#include "beadwise/finding.hpp"

namespace beadwise {

/// Where a cause must lie to explain what was seen at a place.
enum class Reach : std::uint8_t {
  place,    ///< at that place: a string hangs where it was drawn
  below,    ///< there or lower, at the same X and Y: a foot lets go of what stands on it
  earlier,  ///< there or on any layer before: worn filament jams later
};

/// That a check bears on a symptom.
struct Bearing {
  std::string_view check;
  Symptom symptom;
  bool main = true;  ///< a usual cause; else one that shows otherwise first
  Reach reach = Reach::place;
  /// What is so in a file in which the check found nothing of the kind. `{name}` stands for a figure of the job or a
  /// limit of the check by its key; what stands in `[ ]` is left out where a figure in it is
  /// unknown, or what follows a bar in it taken.
  std::string_view ruled_out;
};

/// Every check and each of its symptoms, in order of check.
std::span<const Bearing> bearings();

/// Values that a check's answer rests on, by key of the profile; its own remedies name them too.
std::vector<std::string_view> rests_on(std::string_view check);

}  // namespace beadwise
