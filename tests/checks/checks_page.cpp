#include "checks/checks_page.hpp"

#include <sstream>
#include <string_view>

#include "beadwise/check.hpp"

namespace beadwise::tests {

namespace {

template <class T>
std::string joined(const std::vector<T>& values) {
  std::string text;
  for (const T& value : values) text += (text.empty() ? "" : ", ") + std::string(to_string(value));
  return text.empty() ? "—" : text;
}

/// A page below a heading of the whole document: one level deeper, code left as it is.
std::string one_level_deeper(std::string_view page) {
  std::istringstream lines{std::string(page)};
  std::string text;
  bool in_code = false;
  for (std::string line; std::getline(lines, line);) {
    if (line.substr(0, 3) == "```") in_code = !in_code;
    if (!in_code && !line.empty() && line[0] == '#') text += '#';
    text += line + '\n';
  }
  return text;
}

}  // namespace

std::string checks_page() {
  std::string text =
      "# The checks\n\n"
      "Written from the page of each check in `lib/src/checks/` (`cmake --build build --target beadwise_docs`); "
      "`beadwise explain CHECK` shows the same page. The examples are run as tests.\n\n"
      "A finding is an `error` (the print will fail, or something or somebody can be harmed), a `warning` (likely to "
      "show on the print: you would change the file for it) or a `note` (worth knowing).\n\n"
      "| check | looks for | severity | symptoms |\n| --- | --- | --- | --- |\n";
  for (const RegisteredCheck& check : all_checks()) {
    const Description& description = check.describe();
    const std::string name(check.name);
    text += "| [`" + name + "`](#" + name + ") | " + std::string(summary_of(check)) + " | " +
            joined(description.severities) + " | " + joined(description.symptoms) + " |\n";
  }
  for (const RegisteredCheck& check : all_checks()) text += "\n" + one_level_deeper(check.page);
  return text;
}

}  // namespace beadwise::tests
