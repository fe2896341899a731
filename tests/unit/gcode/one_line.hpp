#pragma once

#include <charconv>
#include <ostream>  // doctest prints what it compares
#include <string>
#include <string_view>

#include "gcode/parse_block.hpp"

namespace beadwise::tests {

/// Shortest decimal that reads back as `value`.
inline std::string figure(double value) {
  char text[32];
  return {text, std::to_chars(text, text + sizeof text, value).ptr};
}

/// What was read, in one line of text: `G1 X5`, a bare letter alone, `!word<F{speed}>` for what was not read,
/// `*wrong` for a checksum, `text<…>` for arguments, `;<…>` for the first comment.
inline std::string told(const Line& line) {
  static constexpr std::string_view forms[] = {"blank", "", "message", "extended", "unread"};
  static constexpr std::string_view troubles[] = {"word", "stray", "command", "repeated", "dropped"};
  std::string told(forms[static_cast<std::size_t>(line.form)]);
  const auto add = [&](const std::string& part) { told += (told.empty() ? "" : " ") + part; };
  if (!line.name.empty()) add("name<" + std::string(line.name) + '>');
  for (const Word& word : line.words) add(word.letter + (word.has_value ? figure(word.value) : std::string()));
  if (!line.arguments.empty()) add("text<" + std::string(line.arguments) + '>');
  for (const Trouble& trouble : line.troubles) {
    const std::string_view where = line.text.substr(trouble.column - 1, trouble.length);
    add('!' + std::string(troubles[static_cast<std::size_t>(trouble.kind)]) + '<' + std::string(where) + '>');
  }
  if (line.checksum != Checksum::none) add(line.checksum == Checksum::right ? "*right" : "*wrong");
  if (line.comment.data() != nullptr) add(";<" + std::string(line.comment) + '>');
  return told;
}

/// The lines of `text`, read as one block.
inline ParsedBlock read_block(std::string text) {
  Block block;
  block.bytes = std::move(text);
  ParsedBlock parsed;
  parse_block(block, parsed);
  return parsed;
}

/// A line of G-code as it is read.
inline std::string read(std::string_view text) {
  const ParsedBlock parsed = read_block(std::string(text));
  return parsed.size() == 1 ? told(parsed.line(0)) : std::to_string(parsed.size()) + " lines";
}

/// The first trouble of a line; all of its members 0 where there is none.
inline Trouble first_trouble(std::string_view text) {
  const ParsedBlock parsed = read_block(std::string(text));
  const auto troubles = parsed.line(0).troubles;
  return troubles.empty() ? Trouble{} : troubles.front();
}

}  // namespace beadwise::tests
