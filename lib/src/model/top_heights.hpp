#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <unordered_map>

namespace beadwise {

/// How high the print stands, in cells of the plate; coarse, to tell what a layer lies on.
class TopHeights {
 public:
  static constexpr double cell_mm = 2;

  /// Height of what is printed in the cell of a place, mm; 0 where nothing is.
  double at(double x_mm, double y_mm);
  /// Something at this height was printed there.
  void raise(double x_mm, double y_mm, double z_mm);
  /// The height in the cell of a place, to be read and raised while this lives; null beyond the plate.
  float* cell(double x_mm, double y_mm) { return cell(x_mm, y_mm, true); }

 private:
  static constexpr int tile_cells = 64;
  // 256 tiles are more than 2 m by 2 m of plate; places beyond that stay at height 0.
  static constexpr std::size_t most_tiles = 256;
  using Tile = std::array<float, static_cast<std::size_t>(tile_cells) * tile_cells>;

  float* cell(double x_mm, double y_mm, bool make);

  std::unordered_map<std::uint64_t, std::unique_ptr<Tile>> tiles_;
  std::uint64_t last_key_ = 0;
  Tile* last_tile_ = nullptr;
};

}  // namespace beadwise
