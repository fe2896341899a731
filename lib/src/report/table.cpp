#include "report/table.hpp"

#include <algorithm>
#include <string_view>

#include "report/wrap.hpp"

namespace beadwise {

namespace {

constexpr std::size_t gap = 2;

std::vector<std::size_t> widths_of(const std::vector<std::vector<std::string>>& rows) {
  std::vector<std::size_t> widths;
  for (const auto& row : rows) {
    widths.resize(std::max(widths.size(), row.size()));
    for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], columns_of(row[i]));
  }
  return widths;
}

bool is_number(std::string_view cell) {
  return !cell.empty() && cell.find_first_not_of("0123456789.-+e") == std::string_view::npos;
}

/// A column stands right where every cell below the head is a number or empty.
bool stands_right(const std::vector<std::vector<std::string>>& rows, std::size_t column) {
  return rows.size() > 1 && std::all_of(rows.begin() + 1, rows.end(), [&](const auto& row) {
           return column >= row.size() || row[column].empty() || is_number(row[column]);
         });
}

}  // namespace

std::string Table::as_lines() const {
  const std::vector<std::size_t> widths = widths_of(rows);
  std::vector<bool> right;
  for (std::size_t i = 0; i < widths.size(); ++i) right.push_back(stands_right(rows, i));
  std::string out;
  for (const auto& row : rows) {
    std::string line;
    for (std::size_t i = 0; i < row.size(); ++i) {
      line += std::string(gap, ' ');
      line += right[i] ? right_aligned(row[i], widths[i]) : left_aligned(row[i], widths[i]);
    }
    line.erase(line.find_last_not_of(' ') + 1);
    out += line + '\n';
  }
  return out;
}

std::size_t Table::columns() const {
  std::size_t total = 0;
  for (const std::size_t width : widths_of(rows)) total += width + gap;
  return total;
}

}  // namespace beadwise
