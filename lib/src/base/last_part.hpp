#pragma once

#include <string_view>

namespace beadwise {

/// A path without its folders.
inline std::string_view last_part(std::string_view path) { return path.substr(path.rfind('/') + 1); }

}  // namespace beadwise
