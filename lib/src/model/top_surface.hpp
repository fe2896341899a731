#pragma once

#include <cstdint>

#include "beadwise/bead.hpp"
#include "model/indexed_layer.hpp"
#include "model/plane.hpp"
#include "model/plate_grid.hpp"

namespace beadwise {

/// What stands in the way of a straight motion.
struct Obstacle {
  double length_mm = 0;   ///< of the motion, seen from above, that is under what is printed
  double deepest_mm = 0;  ///< how far, at most
  Point at_mm;            ///< where that is, at the height of the motion
};

/// Height of what is printed under a place, for the whole job: in cells of half a millimetre, each as high as the
/// highest bead that covers its middle. Beads thinner than a cell are taken as wide as a cell, so that no wall slips
/// between the middles; beads narrower than high, which lie as a loose strand, are not. Beyond the reach of the grid,
/// see `PlateGrid`, the plate counts as bare.
class TopSurface {
 public:
  /// What is printed under a place.
  struct Column {
    float top_mm = 0;
    std::uint32_t layers = 0;  ///< that lie on each other there; a wall that climbs in a spiral counts as one a turn
  };
  using Grid = PlateGrid<Column>;

  /// A layer was printed.
  void raise(const IndexedLayer& layer);

  /// Height of what is printed under a place, mm; 0 for the bare plate.
  double at(PlanePoint place) const;

  /// How much of what is printed in at least `layers` layers stands higher than a straight motion by more than
  /// `margin_mm`; looked at every half cell.
  Obstacle over(const Point& from_mm, const Point& to_mm, double margin_mm, std::uint32_t layers = 1) const;

  /// The highest of all, mm.
  double highest_mm() const { return highest_mm_; }

 private:
  Grid heights_;
  double highest_mm_ = 0;
};

}  // namespace beadwise
