#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "beadwise/move.hpp"

namespace beadwise {

/// A box in the plane or in space, mm; empty until something is added.
struct Box {
  Point low{1e300, 1e300, 1e300};
  Point high{-1e300, -1e300, -1e300};

  bool empty() const { return low.x > high.x; }
  void add(const Point& point);
  void add(const Box& box);
};

/// The material laid by one extruding move: a rounded rectangle of width w and height h along the move.
struct Bead {
  Point from_mm;
  Point to_mm;
  double path_mm = 0;   ///< length of the move, of an arc along the arc
  double area_mm2 = 0;  ///< cross-section from the filament fed; what an earlier retraction owes is not laid
  double width_mm = 0;  ///< w = A/h + h (1 − π/4); NaN where E has no plausible reading
  double start_s = 0;   ///< in the job's time
  std::uint64_t line = 0;
  float height_mm = 0;  ///< over what lies below, as the layer's beads lie
  float duration_s = 0;
  float feedrate_mm_per_s = 0;  ///< commanded
  float filament_mm = 0;        ///< fed forward along it
  float nozzle_c = 0;           ///< NaN where the file sets none
  float fan_ratio = 0;
  std::int32_t arc = -1;  ///< index into the layer's arcs, -1 for a straight bead
  BeadRole role = BeadRole::unknown;
  std::uint8_t tool = 0;
};

/// A run of beads at one printing height, complete and immutable.
struct Layer {
  std::uint32_t number = 0;  ///< from 1
  double z_mm = 0;           ///< of the last bead's end
  double height_mm = 0;      ///< over what lies below
  bool spiral = false;
  bool on_plate = false;  ///< nothing lies below
  std::vector<Bead> beads;
  std::vector<Arc> arcs;
  Settings settings;  ///< at its first bead
  Box box_mm;
  std::uint64_t first_line = 0;
  std::uint64_t last_line = 0;
  double start_s = 0;  ///< when its first bead begins
  double end_s = 0;    ///< when its last bead ends
};

}  // namespace beadwise
