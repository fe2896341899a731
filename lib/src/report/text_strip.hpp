#pragma once

#include <string>

#include "beadwise/report.hpp"

namespace beadwise {

/// The flow through the melt zone over the time of the print, `FileReport::series` by `AnalyseOptions::melt_series`, as
/// a line of blocks, with marks below it where it is beyond the limit of the worst finding about flow; what the line
/// means in words. Empty where nothing was found about flow, or where there is no series.
std::string flow_strip_text(const FileReport& report, const TextStyle& style);

}  // namespace beadwise
