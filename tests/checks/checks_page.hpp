#pragma once

#include <string>

namespace beadwise::tests {

/// docs/checks.md as the pages of all checks make it.
std::string checks_page();

}  // namespace beadwise::tests
