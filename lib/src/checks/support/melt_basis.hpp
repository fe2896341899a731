#pragma once

#include <optional>
#include <string>
#include <vector>

#include "beadwise/profile.hpp"
#include "model/melt_zone.hpp"

namespace beadwise::checks {

/// Whether a person stated what the melt model rests on: the melt zone, and the material or its own figures.
bool melt_is_stated(const Profile& profile);

/// A material that the file may be printed with.
struct MeltCandidate {
  std::string name;  ///< "pla", "pla (a guess)", "the filament"
  MeltSetup setup;
};

/// The stated material, or each of those that the set points fit; none where the melt model cannot be used.
std::vector<MeltCandidate> melt_candidates(const Profile& profile);

/// The one whose core is heated through the soonest at a set point: where several fit, the wider limit holds.
/// `candidates` must not be empty.
const MeltCandidate& soonest_heated(const std::vector<MeltCandidate>& candidates, double nozzle_c);

/// One or two sentences, each with a blank before it, on what of that is a guess and how to state it; empty where
/// nothing is.
std::string melt_guesses(const Profile& profile);

/// Why the melt model cannot be used on this file, where it cannot.
std::optional<std::string> why_no_melt(const Profile& profile);

}  // namespace beadwise::checks
