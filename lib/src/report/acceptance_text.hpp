#pragma once

#include <string>
#include <vector>

#include "beadwise/report.hpp"

namespace beadwise {

/// Why a finding is accepted and where that stands: "they are read at arm's length (beadwise.toml:12)".
std::string accepted_in_words(const Acceptance& acceptance);

/// What was accepted and met nothing, a sentence each; what is gone of a baseline in one.
std::vector<std::string> unused_in_words(const FileReport& report);

}  // namespace beadwise
