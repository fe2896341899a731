#include "cli/manual/man_page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cstdint>

#include "beadwise/version.hpp"

namespace beadwise::cli {

namespace {

/// A letter of several bytes (RFC 3629) as its number; `at` is left on its last byte.
std::uint32_t code_point(const std::string& text, std::size_t& at) {
  const auto lead = static_cast<unsigned char>(text[at]);
  const std::size_t more = lead >= 0xF0 ? 3 : lead >= 0xE0 ? 2 : 1;
  std::uint32_t code = lead & (0x3FU >> more);
  for (std::size_t i = 0; i < more && at + 1 < text.size(); ++i)
    code = code << 6U | (static_cast<unsigned char>(text[++at]) & 0x3FU);
  return code;
}

/// The text as man(7) shows it. A hyphen is typed as one, so that commands can be copied.
std::string escaped(const std::string& text) {
  std::string out;
  if (text.starts_with('.') || text.starts_with('\'')) out += "\\&";
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char letter = text[i];
    if (static_cast<unsigned char>(letter) >= 0x80) {
      out += fmt::format("\\[u{:04X}]", code_point(text, i));
    } else if (letter == '\\') {
      out += "\\e";
    } else if (letter == '-') {
      out += "\\-";
    } else {
      out += letter;
    }
  }
  return out;
}

std::string upper(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(),
                 [](unsigned char letter) { return static_cast<char>(std::toupper(letter)); });
  return text;
}

std::string section(const std::string& name) { return ".SH " + name + '\n'; }

std::string bold(const std::string& text) { return "\\fB" + escaped(text) + "\\fR"; }

std::string italic(const std::string& text) { return "\\fI" + escaped(text) + "\\fR"; }

/// "FILE ..." of an argument that may be given more than once.
std::string argument(const Row& row) {
  const std::string name = italic(row.value) + (row.repeatable ? "..." : "");
  return row.required ? name : '[' + name + ']';
}

std::string synopsis(const CommandRow& command) {
  std::string out = section("SYNOPSIS") + bold(joined_path(command, " "));
  if (!command.options.empty()) out += " [" + italic("OPTION") + "...]";
  if (!command.commands.empty()) out += ' ' + italic("COMMAND") + " ...";
  for (const Row& row : command.arguments) out += ' ' + argument(row);
  return out + '\n';
}

std::string heads(const Row& row) {
  std::string out;
  for (const std::string& name : row.names) {
    if (!out.empty()) out += ", ";
    out += bold(name);
  }
  if (row.value.empty()) return out;
  return (out.empty() ? out : out + ' ') + italic(row.value);
}

std::string as_sentence(const std::string& text) { return text.ends_with('.') ? text : text + '.'; }

/// The names of checks, where they are the words of a list; other words stand in the meaning.
std::string offered(const Row& row) {
  if (row.wants != Wants::words && row.value != "WORDS") return {};
  return ".br\n" + escaped(fmt::format("Known: {}.", fmt::join(row.words, ", "))) + '\n';
}

std::string row_text(const Row& row) {
  return ".TP\n" + heads(row) + '\n' + escaped(as_sentence(row.meaning)) + '\n' + offered(row);
}

std::string rows(const std::string& name, const std::vector<Row>& rows) {
  if (rows.empty()) return {};
  std::string out = section(name);
  for (const Row& row : rows) out += row_text(row);
  return out;
}

std::string commands(const CommandRow& command) {
  if (command.commands.empty()) return {};
  std::string out = section("COMMANDS");
  for (const CommandRow& below : command.commands)
    out += ".TP\n" + bold(joined_path(below, " ")) + '\n' + escaped(as_sentence(below.meaning)) + '\n';
  return out;
}

std::vector<std::string> paragraphs(const std::string& footer) {
  std::vector<std::string> all;
  std::string rest = footer;
  while (!rest.empty()) {
    const std::size_t end = std::min(rest.find("\n\n"), rest.size());
    all.push_back(rest.substr(0, end));
    rest.erase(0, std::min(end + 2, rest.size()));
  }
  return all;
}

bool is_examples(const std::string& paragraph) {
  return paragraph.starts_with("Example:\n") || paragraph.starts_with("Examples:\n");
}

bool is_exit_status(const std::string& paragraph) { return paragraph.starts_with("Ends with "); }

std::string as_written(const std::string& lines) {
  std::string out = ".nf\n";
  std::size_t at = 0;
  while (at < lines.size()) {
    const std::size_t end = std::min(lines.find('\n', at), lines.size());
    const std::size_t start = std::min(lines.find_first_not_of(' ', at), end);
    out += escaped(lines.substr(start, end - start)) + '\n';
    at = end + 1;
  }
  return out + ".fi\n";
}

std::string in_one_line(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text;
}

/// What the table says below the options, each part under its own title.
std::string footer_part(const std::string& footer, const std::string& title, bool (*wanted)(const std::string&)) {
  std::string out;
  for (const std::string& paragraph : paragraphs(footer)) {
    if (!wanted(paragraph)) continue;
    out += out.empty() ? section(title) : std::string(".PP\n");
    out += is_examples(paragraph) ? as_written(paragraph.substr(paragraph.find('\n') + 1))
                                  : escaped(in_one_line(paragraph)) + '\n';
  }
  return out;
}

std::string description(const CommandRow& command) {
  std::string out = section("DESCRIPTION") + escaped(as_sentence(command.meaning)) + '\n';
  for (const std::string& paragraph : paragraphs(command.footer))
    if (!is_examples(paragraph) && !is_exit_status(paragraph)) out += ".PP\n" + escaped(in_one_line(paragraph)) + '\n';
  return out;
}

constexpr const char* files =
    ".SH FILES\n"
    ".TP\n"
    "\\fIbeadwise.toml\\fR\n"
    "What is known of machine and filament; looked for in the folder of the file that is read, then upward.\n"
    ".SH ENVIRONMENT\n"
    ".TP\n"
    "\\fBNO_COLOR\\fR\n"
    "Where it is set and not empty there is no colour, unless \\fB\\-\\-color always\\fR asks for it.\n"
    ".TP\n"
    "\\fBTERM\\fR\n"
    "\\fBdumb\\fR is a terminal without colour.\n"
    ".SH NOTES\n"
    "No network connection is opened.\n"
    ".PP\n"
    "Findings speak of hot parts, fumes and machines that run alone: the manual of the machine, local rules and "
    "licensed practice come first.\n";

std::string see_also(const CommandRow& command, const CommandRow& root) {
  std::string out;
  for (const CommandRow* other : with_all_below(root)) {
    if (other->path == command.path) continue;
    out += (out.empty() ? "" : ",\n") + std::string(".BR ") + escaped(joined_path(*other, "-")) + " (1)";
  }
  return section("SEE ALSO") + out + '\n';
}

}  // namespace

std::string man_page(const CommandRow& command, const CommandRow& root) {
  const std::string name = joined_path(command, "-");
  std::string out =
      fmt::format(".TH {} 1 \"\" \"beadwise {}\" \"User Commands\"\n.nh\n.ad l\n", escaped(upper(name)), version());
  out += section("NAME") + escaped(name) + " \\- " + escaped(command.meaning) + '\n';
  out += synopsis(command) + description(command) + commands(command) + rows("ARGUMENTS", command.arguments) +
         rows("OPTIONS", command.options) + footer_part(command.footer, "EXIT STATUS", is_exit_status) +
         footer_part(command.footer, "EXAMPLES", is_examples);
  return out + files + see_also(command, root);
}

}  // namespace beadwise::cli
