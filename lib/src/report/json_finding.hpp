#pragma once

#include "beadwise/finding.hpp"
#include "report/json_value.hpp"

namespace beadwise {

/// A finding and one of its places under the names that do not change.
Json to_json(const Finding& finding);
Json to_json(const Place& place);

}  // namespace beadwise
