#include "cli/check_names.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "beadwise/error.hpp"
#include "cli/nearest_name.hpp"

namespace beadwise::cli {

const RegisteredCheck& check_called(const std::string& name) {
  std::vector<std::string> names;
  for (const RegisteredCheck& check : all_checks()) {
    if (check.name == name) return check;
    names.emplace_back(check.name);
  }
  throw Error(ErrorKind::usage, "", 0, 0, fmt::format("There is no check `{}`; {}", name, instead_of(name, names)));
}

void want_checks(const std::vector<std::string>& only, const std::vector<std::string>& skip) {
  for (const std::string& name : only) check_called(name);
  for (const std::string& name : skip) check_called(name);
  const auto named = [](const std::vector<std::string>& names, std::string_view name) {
    return std::find(names.begin(), names.end(), name) != names.end();
  };
  const auto checks = all_checks();
  const bool any = std::any_of(checks.begin(), checks.end(), [&](const RegisteredCheck& check) {
    return (only.empty() || named(only, check.name)) && !named(skip, check.name);
  });
  if (!any) throw Error(ErrorKind::usage, "", 0, 0, "--only and --skip together leave no check to run.");
}

}  // namespace beadwise::cli
