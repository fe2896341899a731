#pragma once

#include <cstddef>

#include "beadwise/report.hpp"
#include "report/json_value.hpp"
#include "report/sarif_index.hpp"

namespace beadwise {

/// Where a place of a finding is, as a `location` object (SARIF 2.1.0, section 3.28): its whole line in the file, and
/// its layer and object on the plate.
Json sarif_location(const FileReport& report, const Finding& finding, const Place& place, const SarifIndex& index);

/// The same with a number and the place in words.
Json sarif_related_location(const FileReport& report, const Finding& finding, const Place& place, std::size_t number,
                            const SarifIndex& index);

}  // namespace beadwise
