#include <algorithm>
#include <stdexcept>
#include <string>

#include "beadwise/check.hpp"

namespace beadwise {

Limit CheckContext::limit(std::string_view key) const {
  const auto& thresholds = description.thresholds;
  const auto threshold =
      std::find_if(thresholds.begin(), thresholds.end(), [&](const Threshold& one) { return one.key == key; });
  // A check that asks for a limit it does not document would keep it from the profile and from its page.
  if (threshold == thresholds.end())
    throw std::logic_error(std::string(name) + " has no threshold named " + std::string(key));
  const auto stated = profile.checks.find(name);
  if (stated == profile.checks.end()) return {.value = threshold->built_in, .from = Origin::built_in};
  const auto& limits = stated->second.limits;
  const auto setting = limits.find(key);
  if (setting == limits.end() || !setting->second.known())
    return {.value = threshold->built_in, .from = Origin::built_in};
  return {.value = *setting->second, .from = setting->second.from};
}

}  // namespace beadwise
