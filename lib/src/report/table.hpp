#pragma once

#include <string>
#include <vector>

namespace beadwise {

/// Rows of cells in columns as wide as their widest cell; the first row is the head. Cells that hold a number stand
/// right, others left. Short rows are filled with empty cells.
struct Table {
  std::vector<std::vector<std::string>> rows;

  /// One line per row, two blanks between columns and in front.
  std::string as_lines() const;
  /// The columns' total width with gaps.
  std::size_t columns() const;
};

}  // namespace beadwise
