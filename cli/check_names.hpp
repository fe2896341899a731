#pragma once

#include <string>
#include <vector>

#include "beadwise/check.hpp"

namespace beadwise::cli {

/// The check of this name. Throws Error{usage} with the nearest name where there is none.
const RegisteredCheck& check_called(const std::string& name);

/// Throws Error{usage} where a name of `only` or `skip` is no check's, or where nothing is left to run.
void want_checks(const std::vector<std::string>& only, const std::vector<std::string>& skip);

}  // namespace beadwise::cli
