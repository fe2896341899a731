#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "beadwise/profile.hpp"
#include "profile/builtin.hpp"
#include "profile/keys.hpp"

namespace beadwise {

namespace {

// Ordered, so that an editor offers the keys in the order of the documentation.
using Json = nlohmann::ordered_json;

Json table_schema(std::string_view description, Json properties) {
  return {{"type", "object"},
          {"description", description},
          {"additionalProperties", false},
          {"properties", std::move(properties)}};
}

Json words_schema(std::string_view description) {
  return {{"type", "string"}, {"minLength", 1}, {"pattern", "[^ \\t\\r\\n]"}, {"description", description}};
}

// draft-04 spells an open end as a flag beside `minimum`.
Json number_schema(const Bounds& bounds) {
  Json schema{{"type", bounds.whole ? "integer" : "number"}, {"minimum", bounds.lowest}};
  if (!bounds.lowest_allowed) schema["exclusiveMinimum"] = true;
  schema["maximum"] = bounds.highest;
  return schema;
}

/// The schema of one key, by the type of its member.
template <class Table>
struct KeySchema {
  const Key<Table>& key;

  Json operator()(Setting<double> Table::*) const { return number_schema(key.bounds); }
  Json operator()(Setting<Range> Table::*) const {
    return {{"type", "array"}, {"items", number_schema(key.bounds)}, {"minItems", 2}, {"maxItems", 2}};
  }
  Json operator()(Setting<bool> Table::*) const { return {{"type", "boolean"}}; }
  Json operator()(Setting<EUnit> Table::*) const {
    return {{"enum", {to_string(EUnit::automatic), to_string(EUnit::mm), to_string(EUnit::mm3)}}};
  }
  Json operator()(Setting<Drive> Table::*) const {
    return {{"enum", {to_string(Drive::automatic), to_string(Drive::direct), to_string(Drive::bowden)}}};
  }
  Json operator()(Setting<std::string> Table::*) const {
    Json names = Json::array();
    for (const Material& material : built_in_materials()) names.push_back(material.name);
    return {{"enum", names}};
  }
};

template <class Table>
Json keys_schema(std::span<const Key<Table>> keys) {
  Json properties = Json::object();
  for (const auto& key : keys) {
    Json schema = std::visit(KeySchema<Table>{key}, key.member);
    schema["description"] = key.unit.empty() ? std::string(key.meaning) : fmt::format("{}, {}", key.meaning, key.unit);
    properties[std::string(key.name)] = std::move(schema);
  }
  return properties;
}

Json as_json(double value) { return value; }
Json as_json(bool value) { return value; }
Json as_json(const Range& value) { return {value.low, value.high}; }
Json as_json(const std::string& value) { return value; }
Json as_json(EUnit value) { return to_string(value); }
Json as_json(Drive value) { return to_string(value); }

void add_defaults(Json& properties) {
  for (const auto& key : machine_keys()) {
    std::visit(
        [&](auto member) {
          const auto& setting = builtin::machine().*member;
          if (setting.known()) properties[std::string(key.name)]["default"] = as_json(*setting);
        },
        key.member);
  }
}

Json check_schema(const KnownCheck& check) {
  Json severities = Json::array();
  for (const Severity severity : check.severities) severities.push_back(to_string(severity));
  Json properties{{"off", {{"type", "boolean"}, {"description", "true: the check is not run"}}}};
  if (!severities.empty()) {
    properties["severity"] = {{"enum", severities}, {"description", "how bad its findings are"}};
  }
  for (const std::string_view limit : check.limits) {
    properties[std::string(limit)] = {{"type", "number"}, {"description", "limit of the check, see its page"}};
  }
  return table_schema(fmt::format("limits of the check {}", check.name), std::move(properties));
}

Json accept_schema(std::span<const KnownCheck> checks) {
  Json names = Json::array();
  for (const KnownCheck& check : checks) names.push_back(check.name);
  Json name{{"type", "string"}, {"description", "name of the check"}};
  if (!names.empty()) name["enum"] = names;
  Json entry =
      table_schema("a known finding that somebody accepts", {{"check", std::move(name)},
                                                             {"where", words_schema("the finding that is accepted")},
                                                             {"because", words_schema("why it is accepted")}});
  entry["required"] = {"check", "where", "because"};
  return {{"type", "array"}, {"description", "findings that are known and accepted"}, {"items", std::move(entry)}};
}

}  // namespace

std::string profile_json_schema(std::span<const KnownCheck> checks) {
  Json machine = keys_schema(machine_keys());
  add_defaults(machine);
  Json check_tables = Json::object();
  for (const KnownCheck& check : checks) check_tables[std::string(check.name)] = check_schema(check);
  Json schema{{"$schema", "http://json-schema.org/draft-04/schema#"}, {"title", "Profile of beadwise"}};
  schema.update(
      table_schema("What is so on one machine, with one filament, and what its checks are to be",
                   {{"schema_version", {{"enum", {1}}, {"description", "version of these keys"}}},
                    {"extends", words_schema("path of the profile that this one builds on, relative to this file")},
                    {"machine", table_schema("the machine", std::move(machine))},
                    {"filament", table_schema("the filament", keys_schema(filament_keys()))},
                    {"checks", table_schema("one table per check", std::move(check_tables))},
                    {"accept", accept_schema(checks)}}));
  return schema.dump(2) + "\n";
}

}  // namespace beadwise
