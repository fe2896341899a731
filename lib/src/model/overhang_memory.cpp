#include "model/overhang_memory.hpp"

#include <algorithm>
#include <cmath>

namespace beadwise {

namespace {

constexpr double same_height_mm = 1e-4;

}  // namespace

void OverhangMemory::note(PlanePoint place, double z_mm, double overhang_mm) {
  Cell cell = cells_.at(place, {});
  if (std::abs(static_cast<double>(cell.now.z_mm) - z_mm) > same_height_mm) {
    cell.before = cell.now;
    cell.now = {static_cast<float>(z_mm), 0};
  }
  cell.now.overhang_mm = std::max(cell.now.overhang_mm, static_cast<float>(overhang_mm));
  cells_.put(place, cell);
}

double OverhangMemory::at(PlanePoint place, double low_z_mm, double below_z_mm) const {
  float overhang_mm = 0;
  const auto take = [&](const Level& level) {
    const auto z_mm = static_cast<double>(level.z_mm);
    if (z_mm >= low_z_mm - same_height_mm && z_mm < below_z_mm - same_height_mm)
      overhang_mm = std::max(overhang_mm, level.overhang_mm);
  };
  constexpr double cell_mm = PlateGrid<Cell>::cell_mm;
  for (const double dx : {-cell_mm, 0.0, cell_mm}) {
    for (const double dy : {-cell_mm, 0.0, cell_mm}) {
      const Cell cell = cells_.at({place.x + dx, place.y + dy}, {});
      take(cell.now);
      take(cell.before);
    }
  }
  return static_cast<double>(overhang_mm);
}

}  // namespace beadwise
