#pragma once

#include <cstdint>
#include <vector>

#include "beadwise/bead.hpp"
#include "model/bead_index.hpp"
#include "model/outline_index.hpp"

namespace beadwise {

/// Beads laid one after another without a gap: a loop, a fill in one stroke, one stroke of a letter.
struct Track {
  std::uint32_t first = 0;  ///< bead
  std::uint32_t count = 0;
  bool closed = false;  ///< ends where it began, up to a seam of one bead width
  double length_mm = 0;
  double area_mm2 = 0;  ///< of a closed one: enclosed by its middle line, positive against the clock
  Box box_mm{};         ///< of its middle line
  /// The printed region of its island ends at it, outside or as a hole: a closed one, or one of several that make a
  /// loop together; filled by `infer_roles`.
  bool boundary = false;
};

/// A connected printed region of one layer.
struct Island {
  std::uint32_t first = 0;  ///< its first bead
  std::uint32_t beads = 0;
  Box box_mm{};          ///< of the middle lines
  double laid_mm3 = 0;   ///< volume of its beads
  double length_mm = 0;  ///< of its beads together
};

/// One straight motion in the plane that lays no bead, after at least one bead. An arc is several.
struct Travel {
  Point from_mm;
  Point to_mm;
  double start_s = 0;
  double filament_mm = 0;  ///< signed: filament moved along it
  double owed_mm = 0;      ///< filament that is pulled back while it runs: the less of before and after it
  float duration_s = 0;
  bool pulled_by_machine = false;        ///< by a firmware retraction, of whatever length
  std::uint32_t beads_before = 0;        ///< beads of its layer laid before; the last of them is where it came from
  std::uint32_t retractions_before = 0;  ///< of the job; grows by one with each
  std::uint64_t line = 0;
};

/// A layer, what is where in it, and the travels made while it is printed (up to the next layer's first bead).
struct IndexedLayer {
  Layer layer;
  BeadIndex index;
  std::vector<Track> tracks;
  std::vector<Island> islands;
  std::vector<std::uint32_t> track_of;   ///< by bead
  std::vector<std::uint32_t> island_of;  ///< by bead
  /// By bead: as the comments say, else inferred from the geometry; see `model/bead_roles.hpp`.
  std::vector<BeadRole> roles;
  OutlineIndex outline;  ///< of the boundaries, see `inside_outline`
  std::vector<Travel> travels;
};

}  // namespace beadwise
