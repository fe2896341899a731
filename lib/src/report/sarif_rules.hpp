#pragma once

#include "report/json_value.hpp"
#include "report/sarif_index.hpp"

namespace beadwise {

/// The checks of a log as `reportingDescriptor` objects (SARIF 2.1.0, section 3.49), with their pages as help.
Json sarif_rules(const SarifIndex& index);

/// How bad a check's findings are at their worst, and its built-in limits.
Json sarif_configuration(const RegisteredCheck& check);

}  // namespace beadwise
