#pragma once

#include <string_view>

namespace beadwise {

/// "0.1.0"
std::string_view version();

}  // namespace beadwise
