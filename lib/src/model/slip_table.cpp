#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "base/lower_case.hpp"
#include "beadwise/calibrate.hpp"
#include "beadwise/error.hpp"

namespace beadwise {

namespace {

// Ends of plausibility, from what the trade builds: beyond them a value is in another unit or another column.
constexpr double highest_flow_mm3_per_s = 300;
constexpr double lowest_nozzle_c = 60;
constexpr double highest_nozzle_c = 500;

constexpr std::string_view form = "a line wants flow in mm³/s and nozzle temperature in °C, such as: 10,167";

struct Cell {
  std::string text;
  bool quoted = false;
};

struct Columns {
  std::size_t flow = 0;
  std::size_t nozzle = 1;
  bool named = false;
};

struct Line {
  std::string_view table;
  std::uint64_t number = 0;
  std::string_view text;

  [[noreturn]] void refuse(const std::string& sentence) const {
    throw Error(ErrorKind::usage, std::string(table), number, 0, sentence);
  }
};

constexpr std::string_view blanks = " \t\v\f";

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(blanks);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

/// What of a strange cell can be shown in a sentence.
std::string shown_cell(std::string_view text) {
  constexpr std::size_t longest = 30;
  return text.size() <= longest ? std::string(text) : std::string(text.substr(0, longest)) + "...";
}

char separator_in(const Line& line) {
  for (const char separator : {';', '\t', ','}) {
    if (line.text.find(separator) != std::string_view::npos) return separator;
  }
  line.refuse(fmt::format("`{}` is one column; part the columns by a comma, a semicolon or a tab: {}.",
                          shown_cell(trimmed(line.text)), form));
}

std::vector<Cell> cells_of(std::string_view text, char separator) {
  std::vector<Cell> cells(1);
  bool inside = false;
  for (const char c : text) {
    if (c == '"') {
      inside = !inside;
      cells.back().quoted = true;
    } else if (c == separator && !inside) {
      cells.emplace_back();
    } else {
      cells.back().text += c;
    }
  }
  for (Cell& cell : cells) cell.text = std::string(trimmed(cell.text));
  // Spreadsheets close short rows with empty cells.
  while (cells.size() > 1 && cells.back().text.empty()) cells.pop_back();
  return cells;
}

/// A finite number with a decimal point, or a decimal comma where commas part no columns.
std::optional<double> number_in(const std::string& cell) {
  std::string text = cell;
  const std::size_t comma = text.find(',');
  if (comma != std::string::npos) {
    if (text.find_first_of(".,", comma + 1) != std::string::npos || text.find('.') < comma) return std::nullopt;
    text[comma] = '.';
  }
  const char* first = text.data() + (text.starts_with('+') ? 1 : 0);
  const char* last = text.data() + text.size();
  double value = 0;
  const auto [end, trouble] = std::from_chars(first, last, value);
  if (trouble != std::errc() || end != last || !std::isfinite(value)) return std::nullopt;
  return value;
}

bool has_any(std::string_view text, std::initializer_list<std::string_view> words) {
  return std::any_of(words.begin(), words.end(),
                     [&](std::string_view word) { return text.find(word) != std::string_view::npos; });
}

bool names_temperature(std::string_view name) {
  return has_any(name, {"temp", "nozzle", "°c"}) || name.ends_with("_c");
}
bool names_flow(std::string_view name) { return !names_temperature(name) && has_any(name, {"flow", "mm3", "mm³"}); }

void want_our_units(const Line& line, std::string_view flow, std::string_view nozzle) {
  if (has_any(flow, {"min"})) {
    line.refuse("the flow is named per minute; give mm³/s (feed of 1.75 mm filament in mm/min × 2.405/60).");
  }
  if (has_any(nozzle, {"°f", "fahrenheit"})) line.refuse("the temperature is named in °F; give °C: (°F − 32)/1.8.");
}

Columns columns_named(const Line& line, const std::vector<Cell>& cells) {
  std::optional<std::size_t> flow;
  std::optional<std::size_t> nozzle;
  std::vector<std::string> names;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    names.push_back(lower_case(cells[i].text));
    if (!flow && names_flow(names[i])) flow = i;
    if (!nozzle && names_temperature(names[i])) nozzle = i;
  }
  if (!flow && !nozzle) {
    line.refuse(fmt::format("`{}` is neither two numbers nor names of columns; call those flow_mm3_per_s and nozzle_c.",
                            shown_cell(trimmed(line.text))));
  }
  if (!flow) line.refuse("no column is named as the flow; call it flow_mm3_per_s.");
  if (!nozzle) line.refuse("no column is named as the nozzle temperature; call it nozzle_c.");
  want_our_units(line, names[*flow], names[*nozzle]);
  return {*flow, *nozzle, true};
}

bool is_data(const std::vector<Cell>& cells) {
  return std::any_of(cells.begin(), cells.end(), [](const Cell& cell) { return number_in(cell.text).has_value(); });
}

double wanted_number(const Line& line, const Cell& cell, std::string_view what) {
  if (cell.text.empty()) line.refuse(fmt::format("the {} is missing; fill it in or take the line out.", what));
  const std::optional<double> number = number_in(cell.text);
  if (!number) {
    line.refuse(fmt::format("the {} `{}` is no number; write it alone, without a unit, like 12.5.", what,
                            shown_cell(cell.text)));
  }
  return *number;
}

// 5,5,155,0 with decimal commas would be read as 5 mm³/s at 5 °C.
void want_two_numbers(const Line& line, const std::vector<Cell>& cells, const Columns& columns, char separator) {
  const std::size_t needed = std::max(columns.flow, columns.nozzle) + 1;
  if (cells.size() < needed) {
    line.refuse(fmt::format("has {} of the columns needed; {}, parted like the lines before.",
                            cells.size() == 1 ? "only one" : "too few", form));
  }
  if (separator != ',' || columns.named) return;
  const bool more = std::any_of(cells.begin() + static_cast<std::ptrdiff_t>(needed), cells.end(),
                                [](const Cell& cell) { return !cell.quoted && number_in(cell.text).has_value(); });
  if (more) {
    line.refuse(
        "has more than two numbers; with decimal commas part the columns by semicolons, else name them in the first "
        "line: flow_mm3_per_s,nozzle_c.");
  }
}

SlipRow row_in(const Line& line, const std::vector<Cell>& cells, const Columns& columns) {
  const SlipRow row{.flow_mm3_per_s = wanted_number(line, cells[columns.flow], "flow"),
                    .nozzle_c = wanted_number(line, cells[columns.nozzle], "nozzle temperature"),
                    .line = line.number};
  if (row.nozzle_c < lowest_nozzle_c || row.nozzle_c > highest_nozzle_c) {
    line.refuse(fmt::format("{} °C is no nozzle temperature ({} to {} °C); the flow comes first, then the temperature.",
                            row.nozzle_c, lowest_nozzle_c, highest_nozzle_c));
  }
  if (row.flow_mm3_per_s <= 0 || row.flow_mm3_per_s > highest_flow_mm3_per_s) {
    line.refuse(
        fmt::format("a flow of {} is not between 0 and {} mm³/s; feed of 1.75 mm filament in mm/min × 2.405/60 "
                    "gives mm³/s.",
                    row.flow_mm3_per_s, highest_flow_mm3_per_s));
  }
  return row;
}

/// Reads the lines of one table, the separator and the columns from the first one with content.
class TableReader {
 public:
  explicit TableReader(std::string_view name) { table_.name = name; }

  void take(std::uint64_t number, std::string_view text) {
    text = trimmed(text.substr(0, text.find('#')));
    if (text.empty()) return;
    const Line line{table_.name, number, text};
    const bool first = separator_ == '\0';
    if (first) separator_ = separator_in(line);
    const std::vector<Cell> cells = cells_of(text, separator_);
    if (first && !is_data(cells)) {
      columns_ = columns_named(line, cells);
      return;
    }
    want_two_numbers(line, cells, columns_, separator_);
    table_.rows.push_back(row_in(line, cells, columns_));
  }

  SlipTable table() && { return std::move(table_); }

 private:
  SlipTable table_;
  Columns columns_;
  char separator_ = '\0';
};

}  // namespace

SlipTable read_slip_table(std::string_view name, std::string_view text) {
  // Spreadsheets of their own kind begin with PK; two bytes per letter leave zeros.
  if (text.starts_with("PK") || text.find('\0') != std::string_view::npos) {
    throw Error(ErrorKind::usage, std::string(name), 0, 0, "is no table of plain text; save it as CSV in UTF-8.");
  }
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  TableReader reader(name);
  std::uint64_t number = 0;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
    reader.take(++number, text.substr(0, end));
    text.remove_prefix(end);
    text.remove_prefix(text.starts_with("\r\n") ? 2 : std::min<std::size_t>(1, text.size()));
  }
  return std::move(reader).table();
}

}  // namespace beadwise
