#include "cli/manual/command_tree.hpp"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <utility>

#include "beadwise/check.hpp"
#include "beadwise/finding.hpp"
#include "beadwise/profile.hpp"

namespace beadwise::cli {

namespace {

std::vector<std::string> check_names() {
  std::vector<std::string> names;
  for (const RegisteredCheck& check : all_checks()) names.emplace_back(check.name);
  return names;
}

std::vector<std::string> symptoms() {
  std::vector<std::string> names;
  for (const Symptom symptom : all_symptoms) names.emplace_back(to_string(symptom));
  return names;
}

std::vector<std::string> keys() {
  std::vector<std::string> names;
  for (const ProfileValue& value : describe(Profile{})) names.push_back(value.key);
  return names;
}

std::string without_parentheses(std::string text) {
  for (std::size_t open = 0; (open = text.find('(')) != std::string::npos;)
    text.erase(open, std::min(text.find(')', open), text.size() - 1) + 1 - open);
  return text;
}

std::string last_word(std::string text) {
  while (text.ends_with(' ')) text.pop_back();
  return text.substr(text.find_last_of(' ') + 1);
}

/// The words that a meaning lists: "Status 1 from error, warning, note, or none" names four.
std::vector<std::string> listed_words(const std::string& meaning) {
  std::vector<std::string> words;
  std::string rest = without_parentheses(meaning);
  for (std::size_t comma = rest.find(','); comma != std::string::npos; comma = rest.find(',')) {
    words.push_back(last_word(rest.substr(0, comma)));
    rest.erase(0, comma + 1);
  }
  words.push_back(last_word(rest));
  return words;
}

struct Kind {
  Wants wants = Wants::nothing;
  std::vector<std::string> words;
};

/// What to offer follows from the name of the value.
Kind kind_of(const std::string& value, const std::string& meaning) {
  const auto is_one_of = [&](std::initializer_list<const char*> names) {
    return std::find(names.begin(), names.end(), value) != names.end();
  };
  if (is_one_of({"FILE", "BEFORE", "AFTER", "TABLE"})) return {Wants::file, {}};
  if (is_one_of({"FORMAT", "SEVERITY", "WHEN", "PART", "SERIES", "DATA"})) return {Wants::word, listed_words(meaning)};
  if (value == "CHECK") return {Wants::word, check_names()};
  if (value == "CHECK,...") return {Wants::words, check_names()};
  if (value == "WORDS") return {Wants::word, symptoms()};
  if (value == "KEY=VALUE") return {Wants::setting, keys()};
  return {};
}

Row row_of(const CLI::Option& option) {
  Row row;
  for (const std::string& name : option.get_lnames()) row.names.push_back("--" + name);
  for (const std::string& name : option.get_snames()) row.names.push_back("-" + name);
  if (row.names.empty()) {
    row.value = option.get_name();
  } else if (option.get_items_expected_max() > 0) {
    row.value = option.get_type_name();
  }
  row.meaning = option.get_description();
  row.required = option.get_required();
  row.repeatable = row.names.empty()
                       ? option.get_expected_max() > 1
                       : option.get_multi_option_policy() == CLI::MultiOptionPolicy::TakeAll && !row.value.empty();
  Kind kind = kind_of(row.value, row.meaning);
  row.wants = kind.wants;
  row.words = std::move(kind.words);
  return row;
}

/// `--out` takes the formats that `--format` takes.
void take_formats(std::vector<Row>& options) {
  const auto called = [](const char* value) { return [value](const Row& row) { return row.value == value; }; };
  const auto format = std::find_if(options.begin(), options.end(), called("FORMAT"));
  const auto out = std::find_if(options.begin(), options.end(), called("FORMAT=FILE"));
  if (format == options.end() || out == options.end()) return;
  out->wants = Wants::out_file;
  out->words = format->words;
}

CommandRow command_row(const CLI::App& app, std::vector<std::string> path) {
  CommandRow command;
  command.path = std::move(path);
  command.meaning = app.get_description();
  std::replace(command.meaning.begin(), command.meaning.end(), '\n', ' ');
  if (command.meaning.ends_with('.')) command.meaning.pop_back();
  command.footer = app.get_footer();
  for (const CLI::Option* option : app.get_options()) {
    Row row = row_of(*option);
    (row.names.empty() ? command.arguments : command.options).push_back(std::move(row));
  }
  take_formats(command.options);
  for (const CLI::App* below : app.get_subcommands([](const CLI::App*) { return true; })) {
    std::vector<std::string> longer = command.path;
    longer.push_back(below->get_name());
    command.commands.push_back(command_row(*below, std::move(longer)));
  }
  return command;
}

void collect(const CommandRow& command, std::vector<const CommandRow*>& all) {
  all.push_back(&command);
  for (const CommandRow& below : command.commands) collect(below, all);
}

}  // namespace

CommandRow command_tree(const CLI::App& app) { return command_row(app, {app.get_name()}); }

std::vector<const CommandRow*> with_all_below(const CommandRow& command) {
  std::vector<const CommandRow*> all;
  collect(command, all);
  return all;
}

std::string joined_path(const CommandRow& command, const std::string& between) {
  std::string text;
  for (const std::string& part : command.path) text += (text.empty() ? "" : between) + part;
  return text;
}

}  // namespace beadwise::cli
