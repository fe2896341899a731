#pragma once

#include "support/bead_line.hpp"
#include "support/medial_axis.hpp"

namespace beadwise::tests {

/// Lines along the parts of a medial axis that are `least_mm` to `most_mm` thick, as wide as it is thick there. At a
/// fork a line goes on as straight as it can. Places without edges become dots, `dot_mm` long.
std::vector<BeadLine> lines_along(const MedialAxis& axis, double least_mm, double most_mm);

constexpr double dot_mm = 0.04;

}  // namespace beadwise::tests
