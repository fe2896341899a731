#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "beadwise/error.hpp"
#include "beadwise/profile.hpp"
#include "profile/builtin.hpp"
#include "profile/material_keys.hpp"
#include "profile/nearest.hpp"

namespace beadwise {

namespace {

const Material& material_named(const std::string& name) {
  const std::vector<Material>& materials = built_in_materials();
  const auto found =
      std::find_if(materials.begin(), materials.end(), [&](const auto& one) { return one.name == name; });
  if (found != materials.end()) return *found;
  std::vector<std::string_view> known;
  for (const Material& material : materials) known.push_back(material.name);
  throw Error(ErrorKind::profile, "", 0, 0, fmt::format("unknown material `{}`{}", name, instead_of(name, known)));
}

void take_number(FilamentProfile& filament, const MaterialKey<double>& key, const Material& material, Origin from,
                 std::string_view because) {
  Setting<double>& setting = filament.*key.of_filament;
  if (setting.stated()) return;
  const std::string& source = material.sources.find(key.name)->second;
  setting = {material.*key.of_material, from, fmt::format("{}; {}", because, source)};
}

void take_widest(FilamentProfile& filament, const MaterialKey<Range>& key,
                 const std::vector<const Material*>& materials, Origin from, std::string_view because) {
  Setting<Range>& setting = filament.*key.of_filament;
  if (setting.stated()) return;
  Range widest = materials.front()->*key.of_material;
  std::vector<std::string_view> sources;
  for (const Material* material : materials) {
    const Range& one = material->*key.of_material;
    widest = {std::min(widest.low, one.low), std::max(widest.high, one.high)};
    const std::string& source = material->sources.find(key.name)->second;
    if (std::find(sources.begin(), sources.end(), source) == sources.end()) sources.push_back(source);
  }
  setting = {widest, from, fmt::format("{}; {}", because, fmt::join(sources, "; "))};
}

}  // namespace

void choose_material(FilamentProfile& filament, std::span<const std::string> names, Origin from,
                     std::string_view because) {
  if (names.empty()) throw std::invalid_argument("choose_material: no material named");
  std::vector<const Material*> chosen;
  for (const std::string& name : names) chosen.push_back(&material_named(name));
  if (!filament.material.stated()) {
    filament.material = {fmt::format("{}", fmt::join(names, " or ")), from, std::string(because)};
  }
  for (const auto& key : material_numbers) take_number(filament, key, *chosen.front(), from, because);
  for (const auto& key : material_ranges) take_widest(filament, key, chosen, from, because);
}

void apply_drive(MachineProfile& machine, Drive drive, Origin from, std::string_view because) {
  if (!machine.drive.stated()) machine.drive = {drive, from, std::string(because)};
  if (machine.max_retraction_mm.stated()) return;
  // A stated drive decides, whatever was guessed.
  const Setting<double> usual = builtin::max_retraction_mm(*machine.drive);
  const std::string why = fmt::format("{}; longest retraction for a {} drive: {}", machine.drive.because,
                                      to_string(*machine.drive), usual.because);
  machine.max_retraction_mm = {usual.value, machine.drive.from, usual.known() ? why : usual.because};
}

}  // namespace beadwise
