#include "model/bead_geometry.hpp"

#include <doctest/doctest.h>

#include "support/near.hpp"

using namespace beadwise;
using beadwise::tests::near;

TEST_CASE("the area of a bead and its width follow from each other") {
  // A = (w − h) h + π h²/4, plane geometry of a rectangle with round ends.
  struct Row {
    double width, height, area, filament_per_mm;
  };
  const Row rows[] = {{0.40, 0.20, 0.0714159, 0.0296913}, {0.45, 0.20, 0.0814159, 0.0338488},
                      {0.48, 0.20, 0.0874159, 0.0363433}, {0.45, 0.30, 0.1156858, 0.0480966},
                      {0.60, 0.30, 0.1606858, 0.0668054}, {0.42, 0.10, 0.0398540, 0.0165694},
                      {0.80, 0.20, 0.1514159, 0.0629514}};
  for (const Row& row : rows) {
    CAPTURE(row.width);
    CHECK(near(bead_area_mm2(row.width, row.height), row.area, 1e-7));
    CHECK(near(bead_width_mm(row.area, row.height), row.width, 1e-6));
    CHECK(near(row.area / circle_area_mm2(1.75), row.filament_per_mm, 1e-7));
  }
  // 0.05 mm of 1.75 mm filament over 1.5 mm of path at 0.2 mm height: 0.0801761 mm², 0.4438007 mm.
  CHECK(near(0.05 * circle_area_mm2(1.75) / 1.5, 0.0801761, 1e-7));
  CHECK(near(bead_width_mm(0.0801761, 0.2), 0.4438007, 1e-6));
}

TEST_CASE("too little material for a flat bead is a round strand") {
  // A circle of 0.1 mm: 0.00785398 mm².
  CHECK(near(bead_width_mm(0.00785398, 0.2), 0.1, 1e-6));
}
