#include "fuzz/support/schema.hpp"

#include <algorithm>

namespace beadwise::fuzz {

namespace {

using Json = nlohmann::json;

bool is_of_type(const Json& value, const std::string& type) {
  if (type == "object") return value.is_object();
  if (type == "array") return value.is_array();
  if (type == "string") return value.is_string();
  if (type == "number") return value.is_number();
  if (type == "integer") return value.is_number_integer();
  if (type == "boolean") return value.is_boolean();
  return type == "null" && value.is_null();
}

bool is_of_types(const Json& value, const Json& types) {
  if (types.is_string()) return is_of_type(value, types.get<std::string>());
  return std::any_of(types.begin(), types.end(),
                     [&](const Json& type) { return is_of_type(value, type.get<std::string>()); });
}

std::string broken_object(const Json& value, const Json& schema, const Json& root, const std::string& path) {
  if (schema.contains("required"))
    for (const Json& key : schema["required"])
      if (!value.contains(key.get<std::string>())) return path + '/' + key.get<std::string>() + ": is missing";
  if (!schema.contains("properties")) return "";
  for (const auto& [key, part] : schema["properties"].items()) {
    if (!value.contains(key)) continue;
    if (std::string broken = broken_at(value[key], part, root, path + '/' + key); !broken.empty()) return broken;
  }
  return "";
}

std::string broken_array(const Json& value, const Json& schema, const Json& root, const std::string& path) {
  if (schema.contains("maxItems") && value.size() > schema["maxItems"].get<std::size_t>()) return path + ": too long";
  if (schema.contains("minItems") && value.size() < schema["minItems"].get<std::size_t>()) return path + ": too short";
  for (std::size_t i = 0; i < value.size(); ++i) {
    const std::string inner = path + '/' + std::to_string(i);
    const bool own = schema.contains("prefixItems") && i < schema["prefixItems"].size();
    if (!own && !schema.contains("items")) continue;
    const Json& part = own ? schema["prefixItems"][i] : schema["items"];
    if (std::string broken = broken_at(value[i], part, root, inner); !broken.empty()) return broken;
  }
  return "";
}

std::string broken_choice(const Json& value, const Json& choices, const Json& root, const std::string& path) {
  std::string last;
  for (const Json& choice : choices) {
    last = broken_at(value, choice, root, path);
    if (last.empty()) return "";
  }
  return last;
}

}  // namespace

std::string broken_at(const Json& value, const Json& schema, const Json& root, const std::string& path) {
  if (schema.contains("$ref")) {
    const Json::json_pointer pointer(schema["$ref"].get<std::string>().substr(1));
    return broken_at(value, root.at(pointer), root, path);
  }
  if (schema.contains("anyOf")) return broken_choice(value, schema["anyOf"], root, path);
  if (schema.contains("const") && value != schema["const"]) return path + ": not " + schema["const"].dump();
  if (schema.contains("type") && !is_of_types(value, schema["type"]))
    return path + ": " + value.dump() + " is no " + schema["type"].dump();
  if (schema.contains("enum") && std::find(schema["enum"].begin(), schema["enum"].end(), value) == schema["enum"].end())
    return path + ": " + value.dump() + " is none of " + schema["enum"].dump();
  if (schema.contains("minimum") && value.is_number() && value.get<double>() < schema["minimum"].get<double>())
    return path + ": " + value.dump() + " is too small";
  if (value.is_object()) return broken_object(value, schema, root, path);
  if (value.is_array()) return broken_array(value, schema, root, path);
  return "";
}

}  // namespace beadwise::fuzz
