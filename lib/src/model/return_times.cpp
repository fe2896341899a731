#include "model/return_times.hpp"

#include <cmath>

namespace beadwise {

namespace {

// Beyond this the cell numbers are no longer exact; no machine is that large.
constexpr double farthest_mm = 1e6;
// What lies higher than this share of a bead's height is another level: a spiral climbs a little within a cell.
constexpr double level_share = 0.5;

}  // namespace

ReturnTimes::Cell* ReturnTimes::cell(double x_mm, double y_mm) {
  if (!(std::abs(x_mm) < farthest_mm && std::abs(y_mm) < farthest_mm)) return nullptr;
  const auto column = static_cast<std::int32_t>(std::floor(x_mm / cell_mm));
  const auto row = static_cast<std::int32_t>(std::floor(y_mm / cell_mm));
  static_assert(tile_cells == 1 << 6);
  const auto tile_column = static_cast<std::uint32_t>(column >> 6);
  const auto tile_row = static_cast<std::uint32_t>(row >> 6);
  const std::uint64_t key = (std::uint64_t{tile_column} << 32U) | tile_row;
  if (last_tile_ == nullptr || key != last_key_) {
    auto found = tiles_.find(key);
    if (found == tiles_.end()) {
      if (tiles_.size() >= most_tiles) return nullptr;
      found = tiles_.emplace(key, std::make_unique<Tile>()).first;
    }
    last_key_ = key;
    last_tile_ = found->second.get();
  }
  return &(*last_tile_)[static_cast<std::size_t>((row & (tile_cells - 1)) * tile_cells + (column & (tile_cells - 1)))];
}

void ReturnTimes::add(const LaidPiece& piece) {
  if (!(piece.length_mm > 0)) return;
  Cell* here = cell(piece.at_mm.x, piece.at_mm.y);
  if (here == nullptr) return;
  const double step_mm = level_share * piece.height_mm;
  const double over_mm = piece.at_mm.z - static_cast<double>(here->level_z_mm);
  const bool laid_before = here->length_mm > 0;
  if (laid_before && over_mm < -step_mm) return;
  if (!laid_before || over_mm > step_mm) {
    if (laid_before) {
      const double length_mm = here->length_mm;
      here->below_s = here->time_mm_s / length_mm;
      here->below_cooling_s = static_cast<float>(here->cooling_mm_s / length_mm);
    }
    here->time_mm_s = here->cooling_mm_s = 0;
    here->length_mm = 0;
    here->level_z_mm = static_cast<float>(piece.at_mm.z);
  }
  if (!(here->in_layer_mm > 0)) touched_.push_back(here);
  here->time_mm_s += piece.time_s * piece.length_mm;
  here->cooling_mm_s += piece.cooling_s * piece.length_mm;
  here->length_mm += static_cast<float>(piece.length_mm);
  here->in_layer_mm += static_cast<float>(piece.length_mm);
}

LayerReturn ReturnTimes::finish_layer() {
  LayerReturn layer;
  for (Cell* one : touched_) {
    const double length_mm = one->in_layer_mm;
    one->in_layer_mm = 0;
    const double needed_s = one->below_cooling_s;
    if (needed_s < 0) continue;
    layer.judged_mm += length_mm;
    const double after_s = one->time_mm_s / static_cast<double>(one->length_mm) - one->below_s;
    if (after_s >= needed_s) continue;
    layer.early_mm += length_mm;
    layer.early_after_s += after_s * length_mm;
    layer.early_needed_s += needed_s * length_mm;
  }
  touched_.clear();
  if (layer.early_mm > 0) {
    layer.early_after_s /= layer.early_mm;
    layer.early_needed_s /= layer.early_mm;
  }
  return layer;
}

}  // namespace beadwise
