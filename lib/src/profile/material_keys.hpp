#pragma once

#include <algorithm>
#include <array>
#include <string_view>

#include "beadwise/profile.hpp"
#include "profile/keys.hpp"

namespace beadwise {

/// A key that a material has a value for: where it stands in a material and where in a profile.
template <class Value>
struct MaterialKey {
  std::string_view name;
  Value Material::*of_material;
  Setting<Value> FilamentProfile::*of_filament;
};

inline constexpr std::array material_numbers{
    MaterialKey<double>{"density_g_per_cm3", &Material::density_g_per_cm3, &FilamentProfile::density_g_per_cm3},
    MaterialKey<double>{"diffusivity_mm2_per_s", &Material::diffusivity_mm2_per_s,
                        &FilamentProfile::diffusivity_mm2_per_s},
    MaterialKey<double>{"glass_transition_c", &Material::glass_transition_c, &FilamentProfile::glass_transition_c},
    MaterialKey<double>{"flow_temperature_c", &Material::flow_temperature_c, &FilamentProfile::flow_temperature_c},
    MaterialKey<double>{"modulus_mpa", &Material::modulus_mpa, &FilamentProfile::modulus_mpa},
    MaterialKey<double>{"max_safe_c", &Material::max_safe_c, &FilamentProfile::max_safe_c},
};

inline constexpr std::array material_ranges{
    MaterialKey<Range>{"nozzle_c", &Material::nozzle_c, &FilamentProfile::nozzle_c},
    MaterialKey<Range>{"bed_c", &Material::bed_c, &FilamentProfile::bed_c},
};

/// The bounds of a key of `[filament]`.
inline Bounds key_bounds(std::string_view name) {
  const auto keys = filament_keys();
  const auto key = std::find_if(keys.begin(), keys.end(), [&](const auto& one) { return one.name == name; });
  return key == keys.end() ? Bounds{} : key->bounds;
}

}  // namespace beadwise
