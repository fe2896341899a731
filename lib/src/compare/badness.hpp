#pragma once

#include "beadwise/finding.hpp"

namespace beadwise {

/// Less than 0 where the second of two findings of one thing is better than the first, more where it is worse, 0 where
/// they are the same within the dead band. By severity, then by what was measured against its limit, then by the number
/// of places.
int worsening(const Finding& before, const Finding& after);

}  // namespace beadwise
