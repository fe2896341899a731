#include "model/top_heights.hpp"

#include <algorithm>
#include <cmath>

namespace beadwise {

namespace {

// Beyond this the cell numbers are no longer exact; no machine is that large.
constexpr double farthest_mm = 1e6;

std::int32_t cell_of(double place_mm) {
  const double cells = place_mm / TopHeights::cell_mm;
  const auto whole = static_cast<std::int32_t>(cells);
  return whole - (whole > cells ? 1 : 0);
}

}  // namespace

float* TopHeights::cell(double x_mm, double y_mm, bool make) {
  if (!(std::abs(x_mm) < farthest_mm && std::abs(y_mm) < farthest_mm)) return nullptr;
  const std::int32_t column = cell_of(x_mm);
  const std::int32_t row = cell_of(y_mm);
  const auto tile_column = static_cast<std::uint32_t>(column >> 6);
  const auto tile_row = static_cast<std::uint32_t>(row >> 6);
  static_assert(tile_cells == 1 << 6);
  const std::uint64_t key = (std::uint64_t{tile_column} << 32U) | tile_row;
  if (last_tile_ == nullptr || key != last_key_) {
    auto found = tiles_.find(key);
    if (found == tiles_.end()) {
      if (!make || tiles_.size() >= most_tiles) return nullptr;
      found = tiles_.emplace(key, std::make_unique<Tile>()).first;
    }
    last_key_ = key;
    last_tile_ = found->second.get();
  }
  return &(*last_tile_)[static_cast<std::size_t>((row & (tile_cells - 1)) * tile_cells + (column & (tile_cells - 1)))];
}

double TopHeights::at(double x_mm, double y_mm) {
  const float* top = cell(x_mm, y_mm, false);
  return top == nullptr ? 0 : static_cast<double>(*top);
}

void TopHeights::raise(double x_mm, double y_mm, double z_mm) {
  if (float* top = cell(x_mm, y_mm)) *top = std::max(*top, static_cast<float>(z_mm));
}

}  // namespace beadwise
