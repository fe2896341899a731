#pragma once

#include "model/plate_grid.hpp"

namespace beadwise {

/// How far beads already hang out where the layers below ended: a wall that leans far hangs out a little more with each
/// layer. In cells of half a millimetre.
class OverhangMemory {
 public:
  /// At this height beads hang out by so much at a place; to be told in order of height.
  void note(PlanePoint place, double z_mm, double overhang_mm);

  /// How far beads hang out that lie within a cell of a place, of those noted at heights from `low_z_mm` on, below
  /// `below_z_mm`.
  double at(PlanePoint place, double low_z_mm, double below_z_mm) const;

 private:
  struct Level {
    float z_mm = 0;
    float overhang_mm = 0;
  };
  /// The last two heights at which anything hung there.
  struct Cell {
    Level now;
    Level before;
  };

  PlateGrid<Cell> cells_;
};

}  // namespace beadwise
