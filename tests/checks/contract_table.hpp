#pragma once

#include <string_view>
#include <vector>

#include "beadwise/finding.hpp"

namespace beadwise::tests {

/// What a check may say, as docs/checks.md promises it to scripts and queues.
struct Promise {
  std::string_view check;
  std::vector<Severity> severities;
  std::vector<Symptom> symptoms;
};

/// The promised checks, those that are still to come too. Typed by hand on purpose: the code must not prove itself.
const std::vector<Promise>& promised_checks();

}  // namespace beadwise::tests
