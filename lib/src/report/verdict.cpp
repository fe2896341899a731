#include <algorithm>

#include "beadwise/report.hpp"

namespace beadwise {

std::string_view FileReport::verdict() const {
  if (failure) return "unreadable";
  if (findings.empty()) return "clean";
  const auto milder = [](const Finding& a, const Finding& b) { return a.severity < b.severity; };
  return to_string(std::max_element(findings.begin(), findings.end(), milder)->severity);
}

}  // namespace beadwise
