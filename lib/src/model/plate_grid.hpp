#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

#include "model/plane.hpp"
#include "model/rounded_rectangle.hpp"

namespace beadwise {

/// Something for every cell of half a millimetre of the plate, kept only where something was written.
///
/// Reaches 2048 mm from the origin each way. Holds 1024 tiles of 32 mm by 32 mm, a square metre printed on; places
/// beyond either read as nothing written and take nothing in.
template <class Cell>
class PlateGrid {
 public:
  static constexpr double cell_mm = 0.5;
  static constexpr int tile_cells = 64;
  static constexpr int across_tiles = 128;
  static constexpr std::size_t most_tiles = 1024;
  static constexpr int across_cells = tile_cells * across_tiles;

  /// The middle of a cell; cells are numbered along both axes from the low corner of the grid.
  static double middle_mm(int cell) { return (cell - origin_cell + 0.5) * cell_mm; }

  /// What is written at a place; `nothing` where nothing is.
  Cell at(PlanePoint place, Cell nothing) const {
    const int column = cell_of(place.x);
    const int row = cell_of(place.y);
    if (column < 0 || row < 0 || tiles_.empty()) return nothing;
    const Tile* tile = tiles_[tile_of(column, row)].get();
    return tile == nullptr ? nothing : (*tile)[index_of(column, row)];
  }

  /// Writes the cell that a place lies in.
  void put(PlanePoint place, Cell value) {
    const int column = cell_of(place.x);
    const int row = cell_of(place.y);
    if (column < 0 || row < 0) return;
    if (Tile* tile = tile_to_write(column, row)) (*tile)[index_of(column, row)] = value;
  }

  /// Calls `visit(Cell&, column, row)` for every cell whose middle lies in the rounded rectangle, for some more than
  /// once.
  template <class Visit>
  void each_cell(const RoundedRectangle& shape, Visit&& visit) {
    const int end = last_to(shape.high_mm()) + 1;
    const int straight_from = std::min(end, first_from(shape.straight_from_mm()));
    const int straight_end = last_to(shape.straight_to_mm()) + 1;
    int row = first_from(shape.low_mm());
    const auto up_to = [&](int before) {
      for (; row < before; ++row) {
        const double y = middle_mm(row);
        each_in_row(row, first_from(shape.left_at(y)), last_to(shape.right_at(y)), visit);
      }
    };
    up_to(straight_from);
    row = each_straight(shape, row, straight_end, visit);
    up_to(end);
  }

 private:
  static constexpr int origin_cell = across_cells / 2;
  using Tile = std::array<Cell, static_cast<std::size_t>(tile_cells) * tile_cells>;

  // -1 beyond the grid.
  static int cell_of(double place_mm) {
    const double cell = place_mm / cell_mm + origin_cell;
    return cell >= 0 && cell < across_cells ? static_cast<int>(cell) : -1;
  }
  // The first cell whose middle lies at a place or after it, the last one whose middle lies at it or before it. Within
  // the grid the numbers are positive, so that cutting off their fractions rounds down. A place that is no number is
  // before the first.
  static int first_from(double place_mm) {
    const double cell = std::min(across_cells + 0.5, std::max(0.5, place_mm / cell_mm + (origin_cell + 0.5)));
    const int whole = static_cast<int>(cell);
    return whole - (whole == cell ? 1 : 0);
  }
  static int last_to(double place_mm) {
    const double cell = std::min(across_cells + 0.5, std::max(0.0, place_mm / cell_mm + (origin_cell + 0.5)));
    return static_cast<int>(cell) - 1;
  }

  static std::size_t tile_of(int column, int row) {
    return static_cast<std::size_t>(row / tile_cells) * across_tiles + static_cast<std::size_t>(column / tile_cells);
  }
  static std::size_t index_of(int column, int row) {
    return static_cast<std::size_t>(row % tile_cells) * tile_cells + static_cast<std::size_t>(column % tile_cells);
  }

  template <class Visit>
  void each_in_row(int row, int first, int last, Visit& visit) {
    while (first <= last) {
      const int end = std::min(last, first | (tile_cells - 1));
      if (Tile* tile = tile_to_write(first, row)) {
        Cell* cells = tile->data() + index_of(first, row);
        // Most rows of a bead are one or two cells long: those go without a loop.
        visit(cells[0], first, row);
        visit(cells[end - first], end, row);
        for (int i = 1; i < end - first; ++i) visit(cells[i], first + i, row);
      }
      first = end + 1;
    }
  }

  // Rows that begin and end on straight sides: from one to the next both ends move by the same part of a cell, counted
  // in parts of 2^-32. Returns the row that comes next; the same where they leave the grid.
  template <class Visit>
  int each_straight(const RoundedRectangle& shape, int row, int end_row, Visit& visit) {
    constexpr int part_bits = 32;
    constexpr std::int64_t parts = std::int64_t{1} << part_bits;
    const auto middle_at = [&](int one) {
      return shape.straight_middle_at(middle_mm(one)) / cell_mm + (origin_cell - 0.5);
    };
    const double middle = middle_at(row);
    const double last_middle = middle_at(end_row - 1);
    const double half = shape.straight_half_mm() / cell_mm;
    const bool inside =
        std::min(middle, last_middle) - half > 1 && std::max(middle, last_middle) + half < across_cells - 1;
    if (row >= end_row || !inside) return row;
    auto first_part = static_cast<std::int64_t>((middle - half) * parts) + parts - 1;
    auto last_part = static_cast<std::int64_t>((middle + half) * parts);
    const auto step = static_cast<std::int64_t>(shape.x_per_y() * parts);
    for (; row < end_row; ++row, first_part += step, last_part += step)
      each_in_row(row, static_cast<int>(first_part >> part_bits), static_cast<int>(last_part >> part_bits), visit);
    return row;
  }

  Tile* tile_to_write(int column, int row) {
    if (tiles_.empty()) tiles_.resize(static_cast<std::size_t>(across_tiles) * across_tiles);
    std::unique_ptr<Tile>& tile = tiles_[tile_of(column, row)];
    if (tile) return tile.get();
    if (written_ >= most_tiles) return nullptr;
    ++written_;
    tile = std::make_unique<Tile>();
    return tile.get();
  }

  std::vector<std::unique_ptr<Tile>> tiles_;
  std::size_t written_ = 0;
};

}  // namespace beadwise
