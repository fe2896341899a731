#pragma once

#include <nlohmann/json.hpp>
#include <set>
#include <string>
#include <vector>

namespace beadwise::tests {

/// How alike two reports must be.
struct Likeness {
  double relative = 0;  ///< of numbers, those within sentences too; 0: the same
  double absolute = 0;
  std::set<std::string> but_for{};  ///< keys that may differ
};

/// Where two reports differ, one sentence for each place.
std::vector<std::string> differences(const nlohmann::ordered_json& a, const nlohmann::ordered_json& b,
                                     const Likeness& likeness);

}  // namespace beadwise::tests
