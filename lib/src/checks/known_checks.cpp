#include <string_view>
#include <utility>
#include <vector>

#include "beadwise/check.hpp"

namespace beadwise {

std::vector<KnownCheck> known_checks() {
  std::vector<KnownCheck> known;
  for (const RegisteredCheck& check : all_checks()) {
    const Description& description = check.describe();
    KnownCheck entry{.name = check.name, .limits = {}, .severities = description.severities};
    for (const Threshold& threshold : description.thresholds) entry.limits.push_back(threshold.key);
    known.push_back(std::move(entry));
  }
  return known;
}

std::string_view summary_of(const RegisteredCheck& check) {
  std::string_view rest = check.page;
  bool after_title = false;
  while (!rest.empty()) {
    const std::size_t end = rest.find('\n');
    const std::string_view line = rest.substr(0, end);
    rest.remove_prefix(end == std::string_view::npos ? rest.size() : end + 1);
    if (after_title && !line.empty()) return line;
    if (line.substr(0, 2) == "# ") after_title = true;
  }
  return {};
}

}  // namespace beadwise
