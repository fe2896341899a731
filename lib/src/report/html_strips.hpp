#pragma once

#include <string>
#include <string_view>

#include "beadwise/report.hpp"

namespace beadwise {

/// The job along its printing time and along its filament, with the findings where they lie. Findings are named by
/// `finding_id` and their number. Empty where nothing was kept to be drawn.
std::string strips_html(const FileReport& report, std::string_view finding_id);

}  // namespace beadwise
