#include <doctest/doctest.h>
#include <toml++/toml.h>

#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>

#include "profile_files.hpp"

using namespace beadwise;
using namespace beadwise::testing;

namespace {

using Json = nlohmann::json;
namespace fs = std::filesystem;

Json schema() { return Json::parse(profile_json_schema(some_checks())); }

Json as_json(const toml::node& node) {
  if (const auto* table = node.as_table()) {
    Json object = Json::object();
    for (auto&& [key, value] : *table) object[std::string(key.str())] = as_json(value);
    return object;
  }
  if (const auto* list = node.as_array()) {
    Json array = Json::array();
    for (const auto& value : *list) array.push_back(as_json(value));
    return array;
  }
  if (const auto* text = node.as_string()) return text->get();
  if (const auto* whole = node.as_integer()) return whole->get();
  if (const auto* number = node.as_floating_point()) return number->get();
  if (const auto* flag = node.as_boolean()) return flag->get();
  return nullptr;
}

bool has_type(const Json& value, const std::string& type) {
  if (type == "object") return value.is_object();
  if (type == "array") return value.is_array();
  if (type == "string") return value.is_string();
  if (type == "boolean") return value.is_boolean();
  if (type == "integer") return value.is_number_integer();
  return type == "number" && value.is_number();
}

bool number_fits(const Json& rules, double value) {
  const double least = rules.value("minimum", -HUGE_VAL);
  if (value < least || (value == least && rules.value("exclusiveMinimum", false))) return false;
  return value <= rules.value("maximum", HUGE_VAL);
}

bool fits(const Json& rules, const Json& value);

bool object_fits(const Json& rules, const Json& value) {
  for (const auto& key : rules.value("required", Json::array())) {
    if (!value.contains(key.get<std::string>())) return false;
  }
  for (const auto& [key, inner] : value.items()) {
    if (!rules["properties"].contains(key)) return rules.value("additionalProperties", true);
    if (!fits(rules["properties"][key], inner)) return false;
  }
  return true;
}

bool list_fits(const Json& rules, const Json& value) {
  if (value.size() < rules.value("minItems", std::size_t{0})) return false;
  if (value.size() > rules.value("maxItems", value.size())) return false;
  for (const auto& one : value) {
    if (!fits(rules["items"], one)) return false;
  }
  return true;
}

// The keywords of JSON Schema draft-04 (section 5 of its validation part) that the schema uses.
bool fits(const Json& rules, const Json& value) {
  if (rules.contains("type") && !has_type(value, rules["type"])) return false;
  if (rules.contains("enum") && std::count(rules["enum"].begin(), rules["enum"].end(), value) == 0) return false;
  if (value.is_number()) return number_fits(rules, value);
  if (value.is_object()) return object_fits(rules, value);
  if (value.is_array()) return list_fits(rules, value);
  if (!value.is_string()) return true;
  const std::string text = value;
  if (text.size() < rules.value("minLength", std::size_t{0})) return false;
  return !rules.contains("pattern") || std::regex_search(text, std::regex(rules["pattern"].get<std::string>()));
}

struct Case {
  fs::path file;
  std::string text;
  std::string first_line;
};

std::vector<Case> cases(const std::string& folder) {
  std::vector<Case> all;
  for (const auto& entry :
       fs::directory_iterator(fs::path(BEADWISE_SOURCE_DIR) / "tests/unit/profile/cases" / folder)) {
    std::ifstream stream(entry.path(), std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(stream), {}};
    all.push_back({entry.path(), text, text.substr(0, text.find('\n'))});
  }
  return all;
}

}  // namespace

TEST_CASE("the schema has every key of [machine] and [filament], and no other") {
  std::set<std::string> described_keys, schema_keys;
  for (const ProfileValue& value : describe(load_sets({}))) described_keys.insert(value.key);
  const Json properties = schema()["properties"];
  for (const std::string table : {"machine", "filament"}) {
    CHECK(properties[table]["additionalProperties"] == false);
    for (const auto& entry : properties[table]["properties"].items()) {
      const std::string& key = entry.key();
      CAPTURE(key);
      schema_keys.insert(table + "." + key);
      CHECK_FALSE(entry.value()["description"].get<std::string>().empty());
    }
  }
  CHECK(described_keys == schema_keys);
  CHECK(schema_keys.size() == 33);  // 22 of the machine, 11 of the filament
}

TEST_CASE("the schema knows the checks with their limits and severities") {
  const Json checks = schema()["properties"]["checks"];
  CHECK(checks["additionalProperties"] == false);
  CHECK(checks["properties"].size() == 3);
  const Json& low_travel = checks["properties"]["low-travel"];
  CHECK(low_travel["properties"].contains("min_lift_mm"));
  CHECK(low_travel["properties"]["severity"]["enum"] == Json{"note", "warning"});
  CHECK(low_travel["additionalProperties"] == false);
  CHECK(schema()["$schema"] == "http://json-schema.org/draft-04/schema#");
}

TEST_CASE("every default of the schema fits the schema and is the loader's") {
  const Profile profile = load_sets({});
  const Json keys = schema()["properties"]["machine"]["properties"];
  std::size_t defaults = 0;
  for (const auto& entry : keys.items()) {
    const std::string& key = entry.key();
    const Json& rules = entry.value();
    if (!rules.contains("default")) continue;
    CAPTURE(key);
    ++defaults;
    CHECK(fits(rules, rules["default"]));
    const std::string stated = "default = " + described(profile, "machine." + key).value;
    CHECK(as_json(toml::parse(stated))["default"] == rules["default"]);
  }
  CHECK(defaults == 11);  // nozzle, filament, unit of E, drive, melt zone, 3 accelerations, corner, 2 of retraction
}

TEST_CASE("schema and loader take the same good profiles") {
  const auto good = cases("good");
  REQUIRE(good.size() >= 5);
  for (const Case& one : good) {
    CAPTURE(one.file.filename().string());
    CHECK_NOTHROW(load_file(one.file));
    CHECK(fits(schema(), as_json(toml::parse(one.text))));
  }
}

// First line of a bad case: "# " and what the loader says. Where a schema cannot say so much, that line ends in
// "(schema: taken)".
TEST_CASE("schema and loader refuse the same bad profiles") {
  const auto bad = cases("bad");
  REQUIRE(bad.size() >= 10);
  const std::string taken = " (schema: taken)";
  for (const Case& one : bad) {
    CAPTURE(one.file.filename().string());
    const bool schema_takes = one.first_line.ends_with(taken);
    const std::string sentence =
        one.first_line.substr(2, one.first_line.size() - 2 - (schema_takes ? taken.size() : 0));
    CHECK(refusal(one.text) == sentence);
    CHECK(fits(schema(), as_json(toml::parse(one.text))) == schema_takes);
  }
}
