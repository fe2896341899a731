#pragma once

#include <nlohmann/json.hpp>
#include <string>

namespace beadwise::fuzz {

/// Where `value` breaks the JSON Schema `schema`, as "/files/0/job/layers: no integer"; empty where it keeps it. Knows
/// the words that docs/report.schema.json uses, but for `pattern` and `uniqueItems`.
std::string broken_at(const nlohmann::json& value, const nlohmann::json& schema, const nlohmann::json& root,
                      const std::string& path = "");

}  // namespace beadwise::fuzz
