#pragma once

#include <string>

#include "beadwise/report.hpp"

namespace beadwise {

/// The flow over the time of the print as a line of blocks, with marks below it where it is beyond the limit of the
/// worst finding about flow; what the line means in words. Empty where nothing was found about flow, or where
/// `FileReport::series` has no flow.
std::string flow_strip_text(const FileReport& report, const TextStyle& style);

}  // namespace beadwise
