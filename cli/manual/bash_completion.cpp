#include <fmt/format.h>

#include <string_view>

#include "cli/manual/completion.hpp"

namespace beadwise::cli {

namespace {

constexpr std::string_view head = R"sh(# Completion of beadwise for bash; written from its option table.

# The words of the line so far. Bash parts them at equals signs and colons too; an option and its value are one here.
_beadwise_words() {
  words=()
  local i part joins=
  for ((i = 0; i <= COMP_CWORD; ++i)); do
    part=${COMP_WORDS[i]}
    if [[ ${#words[@]} -gt 0 && ( $part == [=:]* || -n $joins ) ]]; then
      words[${#words[@]} - 1]+=$part
    else
      words+=("$part")
    fi
    joins=
    [[ $part == *[=:] ]] && joins=yes
  done
}

# Offers words that begin as the one in hand, which stands behind what is already there.
_beadwise_offer() {
  local there=$1 begun=$2 word
  COMPREPLY=()
  for word in $3; do
    [[ $word == "$begun"* ]] && COMPREPLY+=("$there$word")
  done
}

_beadwise_files() {
  local there=$1 begun=$2 file
  COMPREPLY=()
  compopt -o filenames 2>/dev/null
  while IFS= read -r file; do COMPREPLY+=("$there$file"); done < <(compgen -f -- "$begun")
}

# Where bash parts words at equals signs or colons, it puts what is offered behind the last of them.
_beadwise_cut() {
  local i mark rest=$1
  for mark in = :; do
    [[ $COMP_WORDBREAKS == *"$mark"* ]] && rest=${rest##*"$mark"}
  done
  for i in "${!COMPREPLY[@]}"; do COMPREPLY[i]=${COMPREPLY[i]#"${1%"$rest"}"}; done
}

# What may stand behind an option, or as an argument.
_beadwise_value() {
  local there=$1 begun=$2
  case $kind in
    file) _beadwise_files "$there" "$begun" ;;
    word) _beadwise_offer "$there" "$begun" "$offered" ;;
    words)
      [[ $begun == *,* ]] && there+=${begun%,*}, && begun=${begun##*,}
      _beadwise_offer "$there" "$begun" "$offered"
      ;;
    out_file)
      if [[ $begun == *=* ]]; then
        _beadwise_files "$there${begun%%=*}=" "${begun#*=}"
      else
        _beadwise_offer "$there" "$begun" "${offered// /= }="
        compopt -o nospace 2>/dev/null
      fi
      ;;
    setting)
      [[ $begun == *=* ]] && return
      _beadwise_offer "$there" "$begun" "${offered// /= }="
      compopt -o nospace 2>/dev/null
      ;;
  esac
}

)sh";

constexpr std::string_view tail = R"sh(
_beadwise() {
  local words=() path=beadwise kind= offered= wanted= word last
  COMPREPLY=()
  _beadwise_words
  last=${words[${#words[@]} - 1]}
  for word in "${words[@]:1:${#words[@]}-2}"; do
    if [[ -n $wanted ]]; then
      wanted=
    elif [[ $word == -* ]]; then
      _beadwise_option "$path" "$word" && wanted=$word
    elif [[ " $(_beadwise_commands "$path") " == *" $word "* ]]; then
      path+=" $word"
    fi
  done
  if [[ -n $wanted ]]; then
    _beadwise_option "$path" "$wanted"
    _beadwise_value "" "$last"
  elif [[ $last == --*=* ]]; then
    _beadwise_option "$path" "${last%%=*}" && _beadwise_value "${last%%=*}=" "${last#*=}"
  elif [[ $last == -* ]]; then
    _beadwise_offer "" "$last" "$(_beadwise_options "$path")"
  elif _beadwise_argument "$path"; then
    _beadwise_value "" "$last"
  else
    _beadwise_offer "" "$last" "$(_beadwise_commands "$path")"
  fi
  _beadwise_cut "$last"
}

complete -F _beadwise beadwise
)sh";

std::string_view kind_name(Wants wants) {
  switch (wants) {
    case Wants::file:
      return "file";
    case Wants::word:
      return "word";
    case Wants::words:
      return "words";
    case Wants::out_file:
      return "out_file";
    case Wants::setting:
      return "setting";
    case Wants::nothing:
      break;
  }
  return "nothing";
}

/// A function that echoes words by the path of the command.
std::string by_path(std::string_view function, const CommandRow& root,
                    std::vector<std::string> (*words_of)(const CommandRow&)) {
  std::string out = fmt::format("{}() {{\n  case $1 in\n", function);
  for (const CommandRow* command : with_all_below(root)) {
    const std::vector<std::string> words = words_of(*command);
    if (!words.empty())
      out += fmt::format("    '{}') echo '{}' ;;\n", joined_path(*command, " "), fmt::join(words, " "));
  }
  return out + "  esac\n}\n\n";
}

std::vector<std::string> option_names(const CommandRow& command) {
  std::vector<std::string> names;
  for (const Row& row : command.options) names.push_back(row.names.front());
  return names;
}

std::vector<std::string> command_names(const CommandRow& command) {
  std::vector<std::string> names;
  for (const CommandRow& below : command.commands) names.push_back(below.name());
  return names;
}

std::string kind_and_words(const Row& row) {
  return fmt::format("kind={} offered='{}'", kind_name(row.wants), fmt::join(row.words, " "));
}

/// Sets `kind` and `offered` for an option that wants a value; fails for a flag.
std::string option_kinds(const CommandRow& root) {
  std::string out = "_beadwise_option() {\n  case \"$1 $2\" in\n";
  for (const CommandRow* command : with_all_below(root))
    for (const Row& row : command->options)
      if (!row.value.empty())
        out += fmt::format("    '{} {}') {} ;;\n", joined_path(*command, " "), row.names.front(), kind_and_words(row));
  return out + "    *) return 1 ;;\n  esac\n}\n\n";
}

std::string argument_kinds(const CommandRow& root) {
  std::string out = "_beadwise_argument() {\n  case $1 in\n";
  for (const CommandRow* command : with_all_below(root))
    if (!command->arguments.empty())
      out += fmt::format("    '{}') {} ;;\n", joined_path(*command, " "), kind_and_words(command->arguments.front()));
  return out + "    *) return 1 ;;\n  esac\n}\n";
}

}  // namespace

std::string bash_completion(const CommandRow& root) {
  return std::string(head) + by_path("_beadwise_commands", root, command_names) +
         by_path("_beadwise_options", root, option_names) + option_kinds(root) + argument_kinds(root) +
         std::string(tail);
}

}  // namespace beadwise::cli
