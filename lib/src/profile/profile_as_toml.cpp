#include <fmt/format.h>

#include <algorithm>
#include <type_traits>

#include "beadwise/profile.hpp"
#include "profile/builtin.hpp"
#include "profile/keys.hpp"
#include "profile/material_keys.hpp"
#include "profile/toml_text.hpp"

namespace beadwise {

namespace {

constexpr std::string_view heading =
    "# What is so on this machine, for the files in this folder and the folders in it.\n"
    "# A guess is written as a statement: check it, since from here on it counts as stated by you.\n"
    "# A key after `# ` holds anyway, or is unknown; take the `# ` away to state it.\n"
    "schema_version = 1\n";

bool same(double a, double b) { return a == b; }
bool same(const Range& a, const Range& b) { return a.low == b.low && a.high == b.high; }

const Material* chosen_material(const FilamentProfile& filament) {
  const std::vector<Material>& all = built_in_materials();
  const std::string name = filament.material.known() ? *filament.material : "";
  const auto found = std::find_if(all.begin(), all.end(), [&](const Material& one) { return one.name == name; });
  return found == all.end() ? nullptr : &*found;
}

// What follows from another key stays a comment: whoever changes the material must not keep the old one's density.
template <class Value, std::size_t N>
bool follows(const FilamentProfile& filament, std::string_view name, const Setting<Value>& setting,
             const std::array<MaterialKey<Value>, N>& keys) {
  const auto key = std::find_if(keys.begin(), keys.end(), [&](const auto& one) { return one.name == name; });
  if (key == keys.end() || !setting.known()) return false;
  const Material* material = chosen_material(filament);
  if (material == nullptr) return setting.from == Origin::file;
  return same(*setting, material->*key->of_material);
}

bool follows(const FilamentProfile& filament, std::string_view name, const Setting<double>& setting) {
  return follows(filament, name, setting, material_numbers);
}

bool follows(const FilamentProfile& filament, std::string_view name, const Setting<Range>& setting) {
  return follows(filament, name, setting, material_ranges);
}

// A guess that fits two materials cannot be stated as it is.
bool follows(const FilamentProfile& filament, std::string_view, const Setting<std::string>&) {
  return chosen_material(filament) == nullptr;
}

bool follows(const MachineProfile& machine, std::string_view, const Setting<double>& setting) {
  if (&setting != &machine.max_retraction_mm || !machine.drive.known() || !setting.known()) return false;
  const Setting<double> usual = builtin::max_retraction_mm(*machine.drive);
  return usual.known() && same(*setting, *usual);
}

// That no reading of E gives a bead is found out, never stated.
bool follows(const MachineProfile&, std::string_view, const Setting<EUnit>& setting) {
  return setting.known() && *setting == EUnit::neither;
}

template <class Table, class Value>
bool follows(const Table&, std::string_view, const Setting<Value>&) {
  return false;
}

template <class Table>
std::string table_as_toml(std::string_view name, std::span<const Key<Table>> keys, const Table& table) {
  std::string text = fmt::format("\n[{}]\n", name);
  for (const auto& key : keys) {
    text += toml_comment(fmt::format("{}{}{}", key.meaning, key.unit.empty() ? "" : ", ", key.unit));
    std::visit(
        [&](auto member) {
          const auto& setting = table.*member;
          const bool state = setting.known() && setting.from != Origin::built_in && !follows(table, key.name, setting);
          text += toml_comment(fmt::format("{}: {}", to_string(setting.from), setting.because));
          text += fmt::format("{}{} ={}{}\n\n", state ? "" : "# ", key.name, setting.known() ? " " : "",
                              setting.known() ? toml_text(*setting) : "");
        },
        key.member);
  }
  text.pop_back();
  return text;
}

std::string check_as_toml(std::string_view name, const CheckProfile& check) {
  std::string text = fmt::format("\n[checks.{}]\n", name);
  if (check.off) text += "off = true\n";
  if (check.severity) text += fmt::format("severity = \"{}\"\n", to_string(*check.severity));
  for (const auto& [key, limit] : check.limits) {
    text += toml_comment(limit.because);
    text += fmt::format("{} = {}\n", key, toml_text(*limit));
  }
  return text;
}

}  // namespace

std::string profile_as_toml(const Profile& profile) {
  std::string text(heading);
  text += table_as_toml("machine", machine_keys(), profile.machine);
  text += table_as_toml("filament", filament_keys(), profile.filament);
  for (const auto& [name, check] : profile.checks) text += check_as_toml(name, check);
  for (const Accepted& one : profile.accepted) {
    text += fmt::format("\n[[accept]]\ncheck = {}\nwhere = {}\nbecause = {}\n", toml_text(one.check),
                        toml_text(one.where), toml_text(one.because));
  }
  return text;
}

}  // namespace beadwise
