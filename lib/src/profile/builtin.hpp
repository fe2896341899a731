#pragma once

#include <string>
#include <string_view>

#include "beadwise/profile.hpp"

namespace beadwise::builtin {

/// builtin/machine.toml and builtin/materials.toml, embedded by lib/embed_profiles.cmake. Live as long as the program.
std::string_view machine_toml();
std::string_view materials_toml();

/// The keys of `[machine]` with their built-in values, each with its source as `because`.
const MachineProfile& machine();

/// The longest retraction that a machine with this drive is taken to stand, mm; unknown where the drive is.
Setting<double> max_retraction_mm(Drive drive);

}  // namespace beadwise::builtin
