#include <cctype>
#include <optional>
#include <vector>

#include "beadwise/report.hpp"
#include "report/paint.hpp"
#include "report/table.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t\r");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t\r") - first + 1);
}

std::vector<std::string_view> lines_of(std::string_view text) {
  std::vector<std::string_view> lines;
  while (!text.empty()) {
    const std::size_t end = text.find('\n');
    lines.push_back(text.substr(0, end));
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  }
  return lines;
}

/// `[text](address)` at the start of `rest`, as "text (address)"; how much of it was read goes to `read`.
std::string link(std::string_view rest, std::size_t& read) {
  const std::size_t middle = rest.find("](");
  const std::size_t end = middle == std::string_view::npos ? middle : rest.find(')', middle);
  if (end == std::string_view::npos) return {};
  read = end + 1;
  return std::string(rest.substr(1, middle - 1)) + " (" + std::string(rest.substr(middle + 2, end - middle - 2)) + ')';
}

/// The text without the marks for code, strong and links; what stands in code is left as it is.
std::string without_marks(std::string_view text) {
  std::string out;
  bool in_code = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '`') {
      in_code = !in_code;
      continue;
    }
    if (!in_code && text.substr(i, 2) == "**") {
      ++i;
      continue;
    }
    std::size_t read = 0;
    if (!in_code && text[i] == '[') out += link(text.substr(i), read);
    if (read == 0) {
      out += text[i];
    } else {
      i += read - 1;
    }
  }
  return shown(out);
}

std::optional<std::string_view> heading(std::string_view line) {
  const std::size_t level = line.find_first_not_of('#');
  if (level == 0 || level == std::string_view::npos || line[level] != ' ') return std::nullopt;
  return trimmed(line.substr(level));
}

/// How long the mark of a list item is with the blank after it: 2 for "- ", 3 for "1. "; 0 for no item.
std::size_t item_mark(std::string_view line) {
  if (line.starts_with("- ") || line.starts_with("* ")) return 2;
  std::size_t digits = 0;
  while (digits < line.size() && std::isdigit(static_cast<unsigned char>(line[digits])) != 0) ++digits;
  return digits > 0 && line.substr(digits, 2) == ". " ? digits + 2 : 0;
}

bool starts_block(std::string_view line) {
  const std::string_view text = trimmed(line);
  return text.empty() || heading(text) || item_mark(text) > 0 || text.starts_with("|") || text.starts_with("```");
}

/// The cells of a row; `\|` and a bar in code belong to the cell.
std::vector<std::string> cells_of(std::string_view line) {
  std::string_view text = trimmed(line);
  text.remove_prefix(1);
  if (text.ends_with('|')) text.remove_suffix(1);
  std::vector<std::string> cells(1);
  bool in_code = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '`') in_code = !in_code;
    if (text[i] == '\\' && i + 1 < text.size() && text[i + 1] == '|') {
      cells.back() += text[++i];
    } else if (text[i] == '|' && !in_code) {
      cells.emplace_back();
    } else {
      cells.back() += text[i];
    }
  }
  for (std::string& cell : cells) cell = without_marks(trimmed(cell));
  return cells;
}

bool is_rule(std::string_view line) { return trimmed(line).find_first_not_of("|-: ") == std::string_view::npos; }

/// Text in the fourth column, two further in from its second line on.
std::string further_in(const std::string& text, std::size_t width) {
  return hanging("      ", text, width).erase(0, 2);
}

/// A table that is too wide: each row as its first cell with the short ones after it, and the others below, each cell
/// after its head.
std::string as_records(const Table& table, std::size_t width) {
  constexpr std::size_t short_cell = 12;
  std::string out;
  const std::vector<std::string>& head = table.rows.front();
  for (std::size_t row = 1; row < table.rows.size(); ++row) {
    const std::vector<std::string>& cells = table.rows[row];
    std::string first = cells.front();
    std::string others;
    for (std::size_t i = 1; i < cells.size(); ++i) {
      if (cells[i].empty()) continue;
      const std::string name = i < head.size() ? head[i] : std::string();
      const std::string after = (first.size() == cells.front().size() ? ": " : ", ") + name + ' ' + cells[i];
      const bool fits = columns_of(cells[i]) <= short_cell && columns_of("  " + first + after) <= width;
      if (fits && others.empty()) {
        first += after;
      } else {
        others += further_in(name.empty() ? cells[i] : name + ": " + cells[i], width);
      }
    }
    out += hanging("  ", first, width) + others;
  }
  return out;
}

constexpr std::string_view code_indent = "    ";

/// A line that is a comment alone is wrapped as one.
std::string comment_lines(std::string_view line, std::string_view indent, std::size_t width) {
  const std::string_view text = trimmed(line.substr(1));
  const std::string begin = std::string(indent) + "; ";
  const std::size_t room = width > begin.size() ? width - begin.size() : 0;
  std::string out;
  for (const std::string& part : wrapped(text, room)) out += begin + part + '\n';
  return out;
}

/// A line of code as it is; one that is too wide has its comment below it.
std::string code_line(std::string_view line, std::size_t width) {
  if (line.empty()) return "\n";
  const bool fits = code_indent.size() + columns_of(line) <= width;
  if (!fits && line.front() == ';') return comment_lines(line, code_indent, width);
  const std::size_t comment = line.find(" ;");
  if (fits || comment == std::string_view::npos) return std::string(code_indent) + std::string(line) + '\n';
  return std::string(code_indent) + std::string(line.substr(0, comment)) + '\n' +
         comment_lines(line.substr(comment + 1), "      ", width);
}

/// A line of a formula or of a small list that stands by itself; its blanks are kept where it fits.
std::string formula_line(std::string_view line, std::size_t width) {
  if (code_indent.size() + columns_of(line) <= width) return std::string(code_indent) + std::string(line) + '\n';
  return further_in(std::string(line), width);
}

/// What stands above an example of a check's page.
std::string_view caption(std::string_view fence) {
  if (fence.ends_with(" flagged")) return "  Found in this:\n";
  if (fence.ends_with(" clean")) return "  Nothing found in this:\n";
  return {};
}

bool is_indented_code(std::string_view line) { return line.starts_with(code_indent) && !trimmed(line).empty(); }

/// Goes through the page block by block.
class PageText {
 public:
  PageText(std::string_view page, const TextStyle& style) : lines_(lines_of(page)), style_(style) {}

  std::string text() {
    while (at_ < lines_.size()) block();
    return out_;
  }

 private:
  void block() {
    const std::string_view line = trimmed(lines_[at_]);
    if (line.empty()) {
      ++at_;
    } else if (line.starts_with("```")) {
      code();
    } else if (is_indented_code(lines_[at_]) && !after_item_) {
      indented_code();
    } else if (const auto name = heading(line)) {
      separate();
      out_ += painted(without_marks(*name), Tone::strong, style_.color) + '\n';
      after_heading_ = true;
      ++at_;
    } else if (line.starts_with("|")) {
      table();
    } else if (const std::size_t mark = item_mark(line); mark > 0) {
      item(line.substr(0, mark), line.substr(mark));
    } else {
      separate();
      out_ += hanging("", without_marks(continued(line)), style_.width);
    }
  }

  /// A blank line between blocks, but none below a heading and none between the items of a list.
  void separate(bool is_item = false) {
    if (!out_.empty() && !after_heading_ && !(is_item && after_item_)) out_ += '\n';
    after_heading_ = false;
    after_item_ = is_item;
  }

  /// The line and those after it that belong to the same paragraph.
  std::string continued(std::string_view line) {
    std::string text(line);
    while (++at_ < lines_.size() && !starts_block(lines_[at_])) {
      text += ' ';
      text += trimmed(lines_[at_]);
    }
    return text;
  }

  void item(std::string_view mark, std::string_view rest) {
    separate(true);
    out_ += hanging("  " + std::string(mark), without_marks(continued(rest)), style_.width);
  }

  void add_code(const std::string& lines) {
    for (const std::string_view line : lines_of(lines))
      out_ += line.empty() ? "\n" : painted(line, Tone::faint, style_.color) + '\n';
  }

  void code() {
    separate();
    out_ += caption(trimmed(lines_[at_]));
    while (++at_ < lines_.size() && !trimmed(lines_[at_]).starts_with("```"))
      add_code(code_line(shown(lines_[at_].substr(0, lines_[at_].find('\r'))), style_.width));
    ++at_;
  }

  void indented_code() {
    separate();
    for (; at_ < lines_.size() && is_indented_code(lines_[at_]); ++at_)
      add_code(formula_line(shown(lines_[at_].substr(code_indent.size())), style_.width));
  }

  void table() {
    separate();
    Table table;
    for (; at_ < lines_.size() && trimmed(lines_[at_]).starts_with("|"); ++at_) {
      if (!is_rule(lines_[at_])) table.rows.push_back(cells_of(lines_[at_]));
    }
    if (table.rows.empty()) return;
    out_ += table.columns() <= style_.width ? table.as_lines() : as_records(table, style_.width);
  }

  std::vector<std::string_view> lines_;
  TextStyle style_;
  std::size_t at_ = 0;
  std::string out_;
  bool after_heading_ = false;
  bool after_item_ = false;
};

}  // namespace

std::string page_as_text(std::string_view page, const TextStyle& style) { return PageText(page, style).text(); }

}  // namespace beadwise
