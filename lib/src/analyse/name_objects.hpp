#pragma once

#include <vector>

#include "beadwise/finding.hpp"
#include "model/object_stack.hpp"

namespace beadwise {

/// Fills in on which objects the worst places of each finding lie.
void name_objects(const ObjectStack& stack, std::vector<Finding>& findings);

}  // namespace beadwise
