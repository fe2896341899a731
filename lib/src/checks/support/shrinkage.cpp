#include "checks/support/shrinkage.hpp"

#include <algorithm>
#include <array>

namespace beadwise::checks {

namespace {

struct Row {
  std::string_view material;
  double per_k = 0;
  double sets_at_c = 0;  ///< 0: at the glass transition, which the profile knows
  std::string_view source;
};

constexpr std::array rows{
    Row{"pla", 68e-6, 0, "68e-6 1/K, data sheets of the polymer, from memory"},
    Row{"petg", 60e-6, 0, "60e-6 1/K, data sheets of the polymer, from memory"},
    Row{"abs", 90e-6, 0, "90e-6 1/K, data sheets of the polymer, from memory"},
    Row{"asa", 95e-6, 0, "95e-6 1/K, data sheets of the polymer, from memory"},
    Row{"hips", 80e-6, 0, "80e-6 1/K, data sheets of polystyrene, from memory"},
    Row{"pc", 65e-6, 0, "65e-6 1/K, data sheets of the polymer, from memory"},
    Row{"pp", 100e-6, 110,
        "100e-6 1/K from where it crystallises, near 110 °C; crystallising itself adds to it; from memory"},
    Row{"pa12", 110e-6, 115,
        "110e-6 1/K, with a temperature that gives the shrinkage of mouldings, about 1 %; from memory"},
    Row{"tpu", 0, 0, "a rubber, 50 MPa: what would shrink by 1 % pulls with 0.5 MPa"},
};

std::vector<std::string_view> names_in(std::string_view joined) {
  constexpr std::string_view joint = " or ";
  std::vector<std::string_view> names;
  for (;;) {
    const std::size_t end = joined.find(joint);
    names.push_back(joined.substr(0, end));
    if (end == std::string_view::npos) return names;
    joined.remove_prefix(end + joint.size());
  }
}

const Row* row_of(std::string_view material) {
  const auto* row = std::find_if(rows.begin(), rows.end(), [&](const Row& one) { return one.material == material; });
  return row == rows.end() ? nullptr : row;
}

double glass_transition_c(const FilamentProfile& filament, std::string_view material) {
  if (filament.glass_transition_c.stated()) return *filament.glass_transition_c;
  for (const Material& one : built_in_materials())
    if (one.name == material) return one.glass_transition_c;
  return 0;
}

}  // namespace

double Shrinkage::strain(double air_c) const { return std::max(0.0, per_k * (sets_at_c - air_c)); }

std::vector<Shrinkage> shrinkages_of(const FilamentProfile& filament) {
  std::vector<Shrinkage> shrinkages;
  if (!filament.material.known()) return shrinkages;
  for (const std::string_view name : names_in(*filament.material)) {
    const Row* row = row_of(name);
    if (row == nullptr) continue;
    const double sets_at_c = row->sets_at_c > 0 ? row->sets_at_c : glass_transition_c(filament, name);
    shrinkages.push_back({.material = std::string(name), .per_k = row->per_k, .sets_at_c = sets_at_c});
  }
  return shrinkages;
}

std::string_view shrinkage_source(std::string_view material) {
  const Row* row = row_of(material);
  return row == nullptr ? std::string_view() : row->source;
}

}  // namespace beadwise::checks
