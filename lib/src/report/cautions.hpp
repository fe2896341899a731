#pragma once

#include <string_view>
#include <vector>

#include "beadwise/finding.hpp"

namespace beadwise {

/// What to mind before a remedy is followed: hot parts, fumes, things that run unwatched. Told by the words of the
/// finding and by its symptoms; in a fixed order.
std::vector<std::string_view> cautions_for(const Finding& finding);

}  // namespace beadwise
