#pragma once

#include <string>

#include "beadwise/report.hpp"

namespace beadwise {

/// Everything found, as one table: it alone says all that the pictures show. Links go to `finding_id` and the number.
std::string findings_table_html(const FileReport& report, std::string_view finding_id, int heading);

/// What was assumed, what the file hides, which checks were skipped and why, and the figures of the job.
std::string background_html(const FileReport& report, int heading);

}  // namespace beadwise
