#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace beadwise::cli {

/// "did you mean `check`?", or, where nothing is near, the names there are.
std::string instead_of(std::string_view wrong, const std::vector<std::string>& known);

}  // namespace beadwise::cli
