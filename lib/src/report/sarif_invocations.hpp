#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "beadwise/report.hpp"
#include "report/json_value.hpp"
#include "report/sarif_index.hpp"

namespace beadwise {

/// The invocations of a log (SARIF 2.1.0, section 3.20): one for all files that were judged by the same limits, with
/// what was stated for them and what is to be said about the reading rather than about the print.
struct SarifInvocations {
  Json invocations = Json::array();
  std::vector<std::size_t> of_report;  ///< number of the invocation of each report
};

SarifInvocations sarif_invocations(std::span<const FileReport> reports, const SarifIndex& index);

/// The kinds of things said about the reading, as `reportingDescriptor` objects.
Json sarif_notifications();

}  // namespace beadwise
