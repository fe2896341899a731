#pragma once

#include <vector>

#include "support/regions.hpp"

namespace beadwise::tests {

/// A place on a line of beads and how wide they are there.
struct LinePlace {
  PlanePoint at;
  double width_mm = 0;
};

/// The middle line of a stroke, closed where it ends at its start.
using BeadLine = std::vector<LinePlace>;

double length_mm(const BeadLine& line);

/// With additional places, so that no two are farther apart than `step_mm`.
BeadLine in_steps(const BeadLine& line, double step_mm);

/// Beads along the line, each of one width: as few as keep the middle line within 0.003 mm and the width within
/// 0.01 mm of it.
std::vector<LaidBead> beads_along(const BeadLine& line);

}  // namespace beadwise::tests
