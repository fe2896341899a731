#include <fmt/format.h>

#include <string_view>

#include "cli/manual/completion.hpp"

namespace beadwise::cli {

namespace {

constexpr std::string_view head = R"(# Completion of beadwise for fish; written from its option table.

# Words behind those that a comma ends.
function __beadwise_after_commas
    set -l begun (string replace -r '^--[a-z-]+=' '' -- (commandline -ct))
    set -l there (string replace -r '[^,]*$' '' -- "$begun")
    for word in $argv
        echo "$there$word"
    end
end

# A word and an equals sign, then a file.
function __beadwise_out
    set -l begun (string replace -r '^--[a-z-]+=' '' -- (commandline -ct))
    if string match -q '*=*' -- "$begun"
        set -l format (string replace -r '=.*$' '' -- "$begun")
        for file in (__fish_complete_path (string replace -r '^[^=]*=' '' -- "$begun"))
            echo "$format=$file"
        end
    else
        for word in $argv
            echo "$word="
        end
    end
end

# Whether these commands are the ones typed so far.
function __beadwise_at
    set -l typed
    for word in (commandline -opc)[2..-1]
        if contains -- $word $__beadwise_commands
            set -a typed $word
        else if not string match -q -- '-*' $word
            break
        end
    end
    test "$typed" = "$argv"
end

)";

std::string in_quotes(std::string_view text) {
  std::string out = "'";
  for (const char letter : text) {
    if (letter == '\'' || letter == '\\') out += '\\';
    out += letter;
  }
  return out + '\'';
}

/// The commands without the program's own name.
std::string below_program(const CommandRow& command) {
  std::string out;
  for (std::size_t i = 1; i < command.path.size(); ++i) out += (out.empty() ? "" : " ") + command.path[i];
  return out;
}

std::string offered(const Row& row) {
  const std::string words = fmt::format("{}", fmt::join(row.words, " "));
  switch (row.wants) {
    case Wants::file:
      return " -r -F";
    case Wants::word:
      return " -x -a " + in_quotes(words);
    case Wants::words:
      return " -x -a " + in_quotes("(__beadwise_after_commas " + words + ')');
    case Wants::out_file:
      return " -x -a " + in_quotes("(__beadwise_out " + words + ')');
    case Wants::setting:
      return " -x -a " + in_quotes(fmt::format("{}=", fmt::join(row.words, "= ")));
    case Wants::nothing:
      break;
  }
  return " -x";
}

std::string names(const Row& row) {
  std::string out;
  for (const std::string& name : row.names)
    out += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
  return out;
}

std::string of_command(const CommandRow& command) {
  const std::string begin = "complete -c beadwise -n " + in_quotes("__beadwise_at " + below_program(command));
  std::string out;
  for (const CommandRow& below : command.commands)
    out += begin + " -f -a " + in_quotes(below.name()) + " -d " + in_quotes(below.meaning) + '\n';
  for (const Row& row : command.options)
    out += begin + names(row) + (row.value.empty() ? "" : offered(row)) + " -d " + in_quotes(row.meaning) + '\n';
  for (const Row& row : command.arguments)
    out += begin +
           (row.wants == Wants::file ? std::string(" -F")
                                     : " -f -a " + in_quotes(fmt::format("{}", fmt::join(row.words, " ")))) +
           '\n';
  return out;
}

}  // namespace

std::string fish_completion(const CommandRow& root) {
  std::string out(head);
  std::string commands;
  for (const CommandRow* command : with_all_below(root))
    if (command != &root) commands += ' ' + command->name();
  out += "set -g __beadwise_commands" + commands + "\n\n";
  for (const CommandRow* command : with_all_below(root)) out += of_command(*command);
  return out;
}

}  // namespace beadwise::cli
