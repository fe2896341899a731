#include <fmt/format.h>

#include <string_view>

#include "cli/manual/completion.hpp"

namespace beadwise::cli {

namespace {

constexpr std::string_view head = R"(#compdef beadwise
# Completion of beadwise for zsh; written from its option table.

# A word and an equals sign, then a file where there is one to name.
_beadwise_out() {
  if compset -P '*='; then
    _files
  else
    compadd -S '=' -- "$@"
  fi
}

_beadwise_setting() {
  compset -P '*=' || compadd -S '=' -- "$@"
}

)";

/// A text between single quotes; what stands behind an option in brackets must not close them.
std::string in_quotes(std::string_view text) {
  std::string out;
  for (const char letter : text) {
    if (letter == '\'') {
      out += "'\\''";
    } else if (letter == '[' || letter == ']' || letter == ':') {
      out += '\\';
      out += letter;
    } else {
      out += letter;
    }
  }
  return out;
}

std::string action(const Row& row) {
  const std::string words = fmt::format("{}", fmt::join(row.words, " "));
  switch (row.wants) {
    case Wants::file:
      return "_files";
    case Wants::word:
      return '(' + words + ')';
    case Wants::words:
      return "_values -s , check " + words;
    case Wants::out_file:
      return "_beadwise_out " + words;
    case Wants::setting:
      return "_beadwise_setting " + words;
    case Wants::nothing:
      break;
  }
  return " ";
}

/// The name of a value, as a message; "FORMAT=FILE" and "X,Y" as they are.
std::string specification(const Row& row, const std::string& name) {
  std::string out = row.repeatable ? "'*" : "'";
  out += name;
  if (!row.value.empty() && name.starts_with("--")) out += '=';
  out += '[' + in_quotes(row.meaning) + ']';
  if (!row.value.empty()) out += ':' + in_quotes(row.value) + ':' + action(row);
  return out + '\'';
}

std::string argument(const Row& row) {
  return fmt::format("'{}:{}:{}'", row.repeatable ? "*" : "", in_quotes(row.value), action(row));
}

std::string function_name(const CommandRow& command) { return '_' + joined_path(command, "_"); }

std::string choose_command(const CommandRow& command) {
  std::string out = "  case $state in\n    command)\n      local -a commands=(\n";
  for (const CommandRow& below : command.commands)
    out += fmt::format("        '{}:{}'\n", below.name(), in_quotes(below.meaning));
  out += "      )\n      _describe command commands\n      ;;\n    rest)\n      case $line[1] in\n";
  for (const CommandRow& below : command.commands)
    out += fmt::format("        {}) {} ;;\n", below.name(), function_name(below));
  return out + "      esac\n      ;;\n  esac\n";
}

std::string function(const CommandRow& command) {
  std::string out = function_name(command) + "() {\n";
  if (!command.commands.empty()) out += "  local curcontext=$curcontext state line\n  typeset -A opt_args\n";
  out += command.commands.empty() ? "  _arguments -s" : "  _arguments -C";
  for (const Row& row : command.options)
    for (const std::string& name : row.names) out += " \\\n    " + specification(row, name);
  for (const Row& row : command.arguments) out += " \\\n    " + argument(row);
  if (!command.commands.empty()) out += " \\\n    '1: :->command' \\\n    '*:: :->rest'";
  out += '\n';
  if (!command.commands.empty()) out += choose_command(command);
  return out + "}\n\n";
}

}  // namespace

std::string zsh_completion(const CommandRow& root) {
  std::string out(head);
  for (const CommandRow* command : with_all_below(root)) out += function(*command);
  return out + "_beadwise \"$@\"\n";
}

}  // namespace beadwise::cli
