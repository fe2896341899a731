#include <algorithm>

#include "beadwise/report.hpp"

namespace beadwise {

std::string_view FileReport::verdict() const {
  if (failure) return "unreadable";
  std::optional<Severity> worst;
  for (const Finding& finding : findings)
    if (!finding.accepted) worst = std::max(worst.value_or(finding.severity), finding.severity);
  return worst ? to_string(*worst) : "clean";
}

}  // namespace beadwise
