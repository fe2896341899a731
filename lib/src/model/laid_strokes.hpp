#pragma once

#include <cstdint>
#include <vector>

#include "model/indexed_layer.hpp"

namespace beadwise {

/// Beads laid one after another from one travel to the next.
struct LaidStroke {
  std::uint32_t first = 0;  ///< bead
  std::uint32_t count = 0;
  double length_mm = 0;
  double filament_mm = 0;  ///< fed forward along it
  double width_mm = 0;     ///< mean over its length
  /// Fill, or with other beads on both sides of it: what it is like does not show in the outline.
  bool enclosed = false;
};

/// The strokes of a layer that begin in a track for which `wanted[track]` is set, in order; those whose beads have no
/// plausible width are left out.
std::vector<LaidStroke> laid_strokes(const IndexedLayer& layer, const std::vector<bool>& wanted);

/// Where a bead gets much wider or narrower at once.
struct WidthStep {
  std::uint32_t bead = 0;  ///< the first of the new width
  double from_mm = 0;
  double to_mm = 0;

  /// At least 1.
  double ratio() const { return from_mm > to_mm ? from_mm / to_mm : to_mm / from_mm; }
};

/// Where the mean width over `reach_mm` of track behind a joint is at least `ratio` times that before it, or the other
/// way round, and the flow that is commanded steps by as much: where the nozzle slows down with it, melt need not
/// follow. No two within `reach_mm`, none nearer to an end of the track.
std::vector<WidthStep> width_steps(const IndexedLayer& layer, const std::vector<bool>& wanted, double ratio,
                                   double reach_mm);

}  // namespace beadwise
