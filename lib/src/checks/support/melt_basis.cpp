#include "checks/support/melt_basis.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "checks/support/wording.hpp"

namespace beadwise::checks {

namespace {

bool material_is_stated(const FilamentProfile& filament) {
  return filament.material.stated() ||
         (filament.diffusivity_mm2_per_s.stated() && filament.flow_temperature_c.stated());
}

/// Whether a guess, "pla or tpu", names a material.
bool names(std::string_view guess, std::string_view material) {
  constexpr std::string_view joint = " or ";
  while (true) {
    const std::size_t end = guess.find(joint);
    if (guess.substr(0, end) == material) return true;
    if (end == std::string_view::npos) return false;
    guess.remove_prefix(end + joint.size());
  }
}

}  // namespace

bool melt_is_stated(const Profile& profile) {
  return profile.machine.melt_zone_mm.stated() && material_is_stated(profile.filament);
}

std::string melt_guesses(const Profile& profile) {
  const bool material = !material_is_stated(profile.filament);
  const bool zone = !profile.machine.melt_zone_mm.stated();
  std::string sentences;
  if (material && profile.filament.material.known())
    sentences += fmt::format(" That the filament is {} is a guess from the set points: state it by filament.material.",
                             *profile.filament.material);
  if (zone && profile.machine.melt_zone_mm.known())
    sentences += fmt::format(" A melt zone of {} mm is an assumption: state yours by machine.melt_zone_mm.",
                             figure(*profile.machine.melt_zone_mm, 1));
  return sentences;
}

std::optional<std::string> why_no_melt(const Profile& profile) {
  if (profile.machine.e_unit.known() && *profile.machine.e_unit == EUnit::neither)
    return "no reading of E gives beads that a nozzle can lay, so the flow is unknown";
  const FilamentProfile& filament = profile.filament;
  if (!filament.diffusivity_mm2_per_s.known() || !filament.flow_temperature_c.known())
    return "the material is unknown; state it, --set filament.material=pla and the like, or its "
           "filament.diffusivity_mm2_per_s and filament.flow_temperature_c";
  return std::nullopt;
}

std::vector<MeltCandidate> melt_candidates(const Profile& profile) {
  const std::optional<MeltSetup> in_use = melt_setup_from(profile);
  if (!in_use) return {};
  const FilamentProfile& filament = profile.filament;
  const std::string name = filament.material.known() ? *filament.material : std::string("the filament");
  const bool own_figures = filament.diffusivity_mm2_per_s.stated() || filament.flow_temperature_c.stated();
  if (material_is_stated(filament) || own_figures || !filament.material.known()) return {{name, *in_use}};
  std::vector<MeltCandidate> candidates;
  for (const Material& material : built_in_materials()) {
    if (!names(*filament.material, material.name)) continue;
    MeltSetup setup = *in_use;
    setup.diffusivity_mm2_per_s = material.diffusivity_mm2_per_s;
    setup.flow_temperature_c = material.flow_temperature_c;
    candidates.push_back({fmt::format("{} (a guess)", material.name), setup});
  }
  if (candidates.empty()) candidates.push_back({name, *in_use});
  return candidates;
}

const MeltCandidate& soonest_heated(const std::vector<MeltCandidate>& candidates, double nozzle_c) {
  return *std::max_element(candidates.begin(), candidates.end(), [&](const MeltCandidate& a, const MeltCandidate& b) {
    return heated_flow_mm3_per_s(a.setup, nozzle_c) < heated_flow_mm3_per_s(b.setup, nozzle_c);
  });
}

}  // namespace beadwise::checks
