#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "beadwise/finding.hpp"
#include "checks/page.hpp"

namespace beadwise::tests {

/// What one check alone finds in an example.
std::vector<Finding> findings_of(const Example& example, std::string_view check);

/// What is wrong with the answer, one sentence each: a mark without its finding, a finding without its mark.
std::vector<std::string> mismatches(const Example& example, std::string_view check,
                                    const std::vector<Finding>& findings);

}  // namespace beadwise::tests
