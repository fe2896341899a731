#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/finding.hpp"
#include "beadwise/report.hpp"
#include "checks/page.hpp"

namespace beadwise::tests {

/// What one check alone has to say on an example.
FileReport report_of(const Example& example, std::string_view check);

/// What is wrong with the answer, one sentence each: a mark without its finding, a finding without its mark.
std::vector<std::string> mismatches(const Example& example, std::string_view check,
                                    const std::vector<Finding>& findings);

/// The same of whether the check judged at all: a clean example that it does not look at has to say so.
std::vector<std::string> skip_mismatches(const Example& example, const std::optional<std::string>& because);

}  // namespace beadwise::tests
