#include "profile/builtin.hpp"

#include <fmt/format.h>

#include <stdexcept>

#include "profile/document.hpp"
#include "profile/material_keys.hpp"
#include "profile/typed_values.hpp"

namespace beadwise {

namespace {

// A table of the program's own that does not hold together is the program's fault, not the input's.
[[noreturn]] void broken(std::string_view what) { throw std::logic_error(fmt::format("built-in tables: {}", what)); }

std::string text_of(const toml::table& entry, std::string_view key) {
  const auto* text = entry.get_as<std::string>(key);
  if (text == nullptr || text->get().empty()) broken(fmt::format("an entry without `{}`", key));
  return text->get();
}

std::string source_of(const toml::table& entry) {
  return fmt::format("{} ({})", text_of(entry, "source"), text_of(entry, "label"));
}

const toml::table& entry_of(const toml::table& table, std::string_view key) {
  const auto* entry = table.get_as<toml::table>(key);
  if (entry == nullptr) broken(fmt::format("no `{}`", key));
  return *entry;
}

/// `value` of an entry of machine.toml, read as a person's statement of the same key would be.
struct BuiltInValue {
  const Document& document;
  const Key<MachineProfile>& key;
  const toml::key& name;
  const toml::table& entry;
  MachineProfile& into;

  Statement statement() const { return {document, "machine", name, *entry.get("value")}; }

  template <class T>
  void set(Setting<T> MachineProfile::*member, T value) const {
    into.*member = {std::move(value), Origin::built_in, source_of(entry)};
  }
  void operator()(Setting<double> MachineProfile::*member) const {
    set(member, number(statement(), key.unit, key.bounds));
  }
  void operator()(Setting<Range> MachineProfile::*member) const {
    set(member, range(statement(), key.unit, key.bounds));
  }
  void operator()(Setting<bool> MachineProfile::*member) const { set(member, yes_or_no(statement())); }
  void operator()(Setting<std::string> MachineProfile::*member) const { set(member, words(statement())); }
  // What a file's E measures and where a drive sits differs from job to job: the only honest default is to guess.
  void operator()(Setting<EUnit> MachineProfile::*member) const { set(member, EUnit::automatic); }
  void operator()(Setting<Drive> MachineProfile::*member) const { set(member, Drive::automatic); }
};

struct SayUnknown {
  std::string because;
  MachineProfile& into;

  template <class T>
  void operator()(Setting<T> MachineProfile::*member) const {
    into.*member = {std::nullopt, Origin::built_in, because};
  }
};

Document machine_document() {
  return {Origin::built_in, "machine.toml", "machine.toml", toml::parse(builtin::machine_toml())};
}

MachineProfile read_machine() {
  const Document document = machine_document();
  const toml::table& stated = entry_of(document.table, "machine");
  MachineProfile machine;
  for (const auto& key : machine_keys()) {
    const toml::table& entry = entry_of(stated, key.name);
    if (entry.contains("value")) {
      std::visit(BuiltInValue{document, key, stated.find(key.name)->first, entry, machine}, key.member);
    } else {
      std::visit(SayUnknown{source_of(entry), machine}, key.member);
    }
  }
  if (stated.size() != machine_keys().size()) broken("machine.toml has a key that [machine] does not have");
  return machine;
}

Material read_material(const Document& document, const toml::table& stated) {
  Material material;
  material.name = text_of(stated, "name");
  const auto value = [&](std::string_view key) -> Statement {
    const toml::table& entry = entry_of(stated, key);
    material.sources.emplace(key, source_of(entry));
    if (!entry.contains("value")) broken(fmt::format("`{}` of {} has no value", key, material.name));
    return {document, material.name, stated.find(key)->first, *entry.get("value")};
  };
  for (const auto& key : material_numbers)
    material.*key.of_material = number(value(key.name), "", key_bounds(key.name));
  for (const auto& key : material_ranges) material.*key.of_material = range(value(key.name), "", key_bounds(key.name));
  material.advice = words(value("advice"));
  return material;
}

std::vector<Material> read_materials() {
  const Document document{Origin::built_in, "materials.toml", "materials.toml", toml::parse(builtin::materials_toml())};
  std::vector<Material> materials;
  const auto* list = document.table.get_as<toml::array>("material");
  if (list == nullptr) broken("materials.toml has no [[material]]");
  for (const toml::node& one : *list)
    materials.push_back(read_material(document, table(document, one, "[[material]]")));
  return materials;
}

}  // namespace

const std::vector<Material>& built_in_materials() {
  static const std::vector<Material> materials = read_materials();
  return materials;
}

namespace builtin {

const MachineProfile& machine() {
  static const MachineProfile defaults = read_machine();
  return defaults;
}

Setting<double> max_retraction_mm(Drive drive) {
  static const Document document = machine_document();
  if (drive == Drive::automatic) return machine().max_retraction_mm;
  const toml::table& entry = entry_of(entry_of(document.table, "machine"), "max_retraction_mm");
  const auto length = entry[to_string(drive)].value<double>();
  if (!length) broken("max_retraction_mm is not given for each drive");
  return {*length, Origin::built_in, source_of(entry)};
}

}  // namespace builtin

}  // namespace beadwise
