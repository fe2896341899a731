#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

#include "model/plane.hpp"

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
  /// Cells are numbered from the low corner of the grid.
  static constexpr int across_cells = tile_cells * across_tiles;

  using Tile = std::array<Cell, static_cast<std::size_t>(tile_cells) * tile_cells>;

  /// Number of the cell, along either axis, that a place lies in; -1 beyond the grid.
  static int cell_of(double place_mm) {
    const double cell = place_mm / cell_mm + origin_cell;
    return cell >= 0 && cell < across_cells ? static_cast<int>(cell) : -1;
  }
  /// The first cell whose middle lies at `place_mm` or after it; one more than the last where there is none.
  static int first_from(double place_mm) {
    const double middles = place_mm / cell_mm + (origin_cell - 0.5);
    if (!(middles > 0)) return 0;
    if (!(middles < across_cells)) return across_cells;
    const int cell = static_cast<int>(middles);
    return cell + (cell < middles ? 1 : 0);
  }
  /// The last cell whose middle lies at `place_mm` or before it; -1 where there is none.
  static int last_to(double place_mm) {
    const double middles = place_mm / cell_mm + (origin_cell - 0.5);
    if (!(middles >= 0)) return -1;
    return middles < across_cells ? static_cast<int>(middles) : across_cells - 1;
  }
  static double middle_mm(int cell) { return (cell - origin_cell + 0.5) * cell_mm; }

  /// What is written at a place; `nothing` where nothing is.
  Cell at(PlanePoint place, Cell nothing) const {
    const int column = cell_of(place.x);
    const int row = cell_of(place.y);
    if (column < 0 || row < 0 || tiles_.empty()) return nothing;
    const Tile* tile = tiles_[tile_of(column, row)].get();
    return tile == nullptr ? nothing : (*tile)[index_of(column, row)];
  }

  /// Calls `visit(Cell&, column)` for the cells of a row from `first` to `last`.
  template <class Visit>
  void each_in_row(int row, int first, int last, Visit&& visit) {
    for (int column = first; column <= last;) {
      const int end = std::min(last, column | (tile_cells - 1));
      if (Tile* tile = tile_to_write(column, row)) {
        Cell* cell = tile->data() + index_of(column, row);
        for (int i = column; i <= end; ++i) visit(*cell++, i);
      }
      column = end + 1;
    }
  }

 private:
  static constexpr int origin_cell = across_cells / 2;

  static std::size_t tile_of(int column, int row) {
    return static_cast<std::size_t>(row / tile_cells) * across_tiles + static_cast<std::size_t>(column / tile_cells);
  }
  static std::size_t index_of(int column, int row) {
    return static_cast<std::size_t>(row % tile_cells) * tile_cells + static_cast<std::size_t>(column % tile_cells);
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
