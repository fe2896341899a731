#pragma once

#include <span>
#include <vector>

#include "beadwise/diagnose.hpp"

namespace beadwise {

/// Where remedies of `causes` pull against each other or against those of the file's other findings, with the order to
/// try. At most one for each lever and pair of checks.
std::vector<Pull> pulls_among(std::span<const Cause> causes, std::span<const Finding> others);

}  // namespace beadwise
