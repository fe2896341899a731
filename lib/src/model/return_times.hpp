#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <unordered_map>
#include <vector>

#include "beadwise/move.hpp"

namespace beadwise {

/// A stretch of bead, short enough to lie in one place.
struct LaidPiece {
  Point at_mm;
  double height_mm = 0;  ///< of the bead
  double length_mm = 0;
  double time_s = 0;     ///< when it is laid, in the job's time
  double cooling_s = 0;  ///< how long it should be left alone
};

/// How soon a layer was laid over what lies below it, by length of its beads.
struct LayerReturn {
  double judged_mm = 0;       ///< with something below that was laid before
  double early_mm = 0;        ///< of it: before what lies below had its time
  double early_after_s = 0;   ///< there: the mean time since what lies below was laid
  double early_needed_s = 0;  ///< there: the mean time that it should have been left alone
};

/// How long after its beads the nozzle comes back over one and the same place, a layer higher, in cells of 2 mm.
///
/// In each cell the mean time of one level is compared with that of the level below: so it does not matter in which
/// order the beads of a layer come, nor whether objects are printed one after another or supports have layers of their
/// own.
class ReturnTimes {
 public:
  static constexpr double cell_mm = 2;

  void add(const LaidPiece& piece);
  /// The layer is complete: what of it can be told. Starts the next.
  LayerReturn finish_layer();

 private:
  static constexpr int tile_cells = 64;
  // 64 tiles are a square metre of plate; what lies beyond is not judged.
  static constexpr std::size_t most_tiles = 64;

  struct Cell {
    double time_mm_s = 0;     ///< of this level, time × length
    double cooling_mm_s = 0;  ///< likewise
    double below_s = 0;       ///< when the level below was laid, the mean
    float length_mm = 0;      ///< of this level
    float in_layer_mm = 0;    ///< of it: laid in the layer that is open
    float level_z_mm = 0;
    float below_cooling_s = -1;  ///< of the level below; negative where there is none
  };
  using Tile = std::array<Cell, static_cast<std::size_t>(tile_cells) * tile_cells>;

  Cell* cell(double x_mm, double y_mm);

  std::unordered_map<std::uint64_t, std::unique_ptr<Tile>> tiles_;
  std::uint64_t last_key_ = 0;
  Tile* last_tile_ = nullptr;
  std::vector<Cell*> touched_;  ///< in the layer that is open
};

}  // namespace beadwise
