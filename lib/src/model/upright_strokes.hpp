#pragma once

#include "model/upright_lettering.hpp"
#include "model/wall_relief.hpp"

namespace beadwise {

/// A relief and the face that it is on: where on the print a cell of it lies.
struct UprightRelief {
  const FaceLine& face;
  const WallRelief& relief;

  UprightPlace at(const ReliefRow& row, const ReliefCell& cell, double value) const;
};

/// Measures the strokes and gaps of a line of letters from its rows: level strokes by the layers that lie on each
/// other, upright ones along the wall. A level stroke is longer than one and a half times its height, and than a bead
/// is wide; an upright one counts where it keeps its width over one and a half times of it; a gap over twice its width,
/// and not where it runs out evenly to nothing, as where two strokes meet.
void measure_strokes(const UprightRelief& relief, const std::vector<ReliefRow>& rows, const UprightLimits& limits,
                     UprightLettering& lettering);

}  // namespace beadwise
