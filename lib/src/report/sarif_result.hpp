#pragma once

#include "beadwise/report.hpp"
#include "report/json_value.hpp"
#include "report/sarif_index.hpp"

namespace beadwise {

/// A finding as a `result` object (SARIF 2.1.0, section 3.27): its worst place as its location, the other places as
/// related ones.
Json sarif_result(const FileReport& report, const Finding& finding, const SarifIndex& index);

}  // namespace beadwise
