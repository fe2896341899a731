#include "report/sarif_rules.hpp"

#include <algorithm>
#include <cctype>

#include "report/sarif_text.hpp"

namespace beadwise {

namespace {

constexpr std::size_t help_columns = 100;
// Whoever shows a description breaks its lines.
constexpr std::size_t description_columns = 100'000;

/// What stands between the heading `## title` and the next one.
std::string_view section(std::string_view page, std::string_view title) {
  const std::string heading = "\n## " + std::string(title) + '\n';
  const std::size_t start = page.find(heading);
  if (start == std::string_view::npos) return {};
  const std::string_view rest = page.substr(start + heading.size());
  return rest.substr(0, rest.find("\n## "));
}

/// The page without the sliced examples, which take half of it and say nothing about this file.
std::string help_of(std::string_view page) {
  const std::string_view examples = section(page, "Examples");
  if (examples.empty()) return std::string(page);
  const std::size_t start = page.rfind("\n## ", static_cast<std::size_t>(examples.data() - page.data()));
  const std::size_t end = static_cast<std::size_t>(examples.data() - page.data()) + examples.size();
  return std::string(page.substr(0, start)) + std::string(page.substr(end));
}

std::string plain(std::string_view markdown, std::size_t columns) {
  std::string text = sarif_text(page_as_text(markdown, {.width = columns}));
  text.erase(text.find_last_not_of('\n') + 1);
  return text;
}

/// "LowTravel" for `low-travel`.
std::string name_of(std::string_view check) {
  std::string name;
  bool begins_word = true;
  for (const char letter : check) {
    if (letter != '-')
      name += begins_word ? static_cast<char>(std::toupper(static_cast<unsigned char>(letter))) : letter;
    begins_word = letter == '-';
  }
  return name;
}

Json properties_of(const Description& description) {
  Json symptoms = Json::array();
  for (const Symptom symptom : description.symptoms) symptoms.push_back(to_string(symptom));
  Json units = Json::object();
  for (const Threshold& threshold : description.thresholds) units[std::string(threshold.key)] = threshold.unit;
  return {{"tags", symptoms}, {"units", units}};
}

Json rule(const RegisteredCheck& check) {
  const std::string what = plain(section(check.page, "What it looks for"), description_columns);
  const std::string why = plain(section(check.page, "Why it fails"), description_columns);
  const std::string help = help_of(check.page);
  return {{"id", check.name},
          {"name", name_of(check.name)},
          {"shortDescription", {{"text", sarif_text(summary_of(check))}}},
          {"fullDescription", {{"text", what + "\n\n" + why}}},
          {"help", {{"text", plain(help, help_columns)}, {"markdown", sarif_markdown(help)}}},
          {"defaultConfiguration", sarif_configuration(check)},
          {"properties", properties_of(check.describe())}};
}

}  // namespace

Json sarif_configuration(const RegisteredCheck& check) {
  const Description& description = check.describe();
  const Severity worst = *std::max_element(description.severities.begin(), description.severities.end());
  Json configuration = {{"level", to_string(worst)}};
  if (description.thresholds.empty()) return configuration;
  for (const Threshold& threshold : description.thresholds)
    configuration["parameters"][std::string(threshold.key)] = json_number(threshold.built_in);
  return configuration;
}

Json sarif_rules(const SarifIndex& index) {
  Json rules = Json::array();
  for (const RegisteredCheck* check : index.checks()) rules.push_back(rule(*check));
  return rules;
}

}  // namespace beadwise
