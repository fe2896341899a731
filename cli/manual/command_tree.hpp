#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace beadwise::cli {

/// What may stand behind an option, or as an argument, when a shell completes it.
enum class Wants : std::uint8_t {
  nothing,  ///< a number, a place: nothing to offer
  file,
  word,      ///< one of `words`
  words,     ///< several of them with commas between
  out_file,  ///< one of `words`, an equals sign and a file
  setting,   ///< one of `words`, an equals sign and a value
};

/// An option, or an argument without a name of its own.
struct Row {
  std::vector<std::string> names;  ///< "--help", "-h"; none for an argument
  std::string value;               ///< "FORMAT"; empty for a flag
  std::string meaning;
  bool required = false;
  bool repeatable = false;
  Wants wants = Wants::nothing;
  std::vector<std::string> words;
};

/// A command with all that the option table says about it.
struct CommandRow {
  std::vector<std::string> path;  ///< {"beadwise", "profile", "show"}
  std::string meaning;
  std::vector<Row> options;
  std::vector<Row> arguments;
  std::string footer;
  std::vector<CommandRow> commands;

  const std::string& name() const { return path.back(); }
};

/// The commands below `app`, which `fill_option_table` filled.
CommandRow command_tree(const CLI::App& app);

/// A command and all below it, in the order of the help.
std::vector<const CommandRow*> with_all_below(const CommandRow& command);

/// "beadwise profile show" with `between` instead of the blanks.
std::string joined_path(const CommandRow& command, const std::string& between);

}  // namespace beadwise::cli
