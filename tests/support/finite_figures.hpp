#pragma once

#include <string>

#include "beadwise/report.hpp"

namespace beadwise::tests {

/// The first figure of a report that is no finite number, or negative where it counts something; empty where there is
/// none. Sentences are searched for figures that are none, too.
std::string figure_that_is_none(const FileReport& report);

}  // namespace beadwise::tests
