#pragma once

#include <span>

#include "beadwise/report.hpp"
#include "report/json_value.hpp"

namespace beadwise {

/// What an analysis stood on, as a list.
Json to_json(std::span<const Assumption> assumptions);

}  // namespace beadwise
