#include "model/top_surface.hpp"

#include <algorithm>
#include <cmath>

#include "model/rounded_rectangle.hpp"

namespace beadwise {

namespace {

// Beads that climb less are flat: finer than any step of height.
constexpr double flat_mm = 1e-4;
constexpr double samples_per_cell = 2;
// A motion across the largest grid is looked at no more often.
constexpr double most_samples = samples_per_cell * TopSurface::Grid::across_cells;

// A place that is raised by less is met twice by one layer, where its beads overlap and climb.
constexpr float least_rise_mm = 0.01F;

void raise_cell(TopSurface::Column& column, float top_mm) {
  column.layers += top_mm > column.top_mm + least_rise_mm ? 1 : 0;
  column.top_mm = std::max(column.top_mm, top_mm);
}

/// The end heights of one straight piece of a bead.
struct Heights {
  double from_mm = 0;
  double to_mm = 0;
};

double half_width_mm(const Footprint& footprint, const Bead& bead) {
  const double half_mm = footprint.half_mm();
  const bool lies_flat = 2 * half_mm >= static_cast<double>(bead.height_mm);
  return lies_flat ? std::max(half_mm, TopSurface::Grid::cell_mm / 2) : half_mm;
}

void raise_piece(TopSurface::Grid& grid, const Footprint& footprint, double half_mm, const Heights& heights) {
  const PlanePoint a = footprint.from();
  const PlanePoint b = footprint.to();
  const RoundedRectangle shape(a, b, half_mm);
  const double climb_mm = heights.to_mm - heights.from_mm;
  if (std::abs(climb_mm) < flat_mm) {
    const auto top = static_cast<float>(std::max(heights.from_mm, heights.to_mm));
    grid.each_cell(shape, [top](TopSurface::Column& cell, int, int) { raise_cell(cell, top); });
    return;
  }
  const double dx = b.x - a.x;
  const double dy = b.y - a.y;
  const double squared_mm2 = std::max(dx * dx + dy * dy, 1e-12);
  grid.each_cell(shape, [&](TopSurface::Column& cell, int column, int row) {
    const double right_mm = TopSurface::Grid::middle_mm(column) - a.x;
    const double up_mm = TopSurface::Grid::middle_mm(row) - a.y;
    const double share = std::clamp((right_mm * dx + up_mm * dy) / squared_mm2, 0.0, 1.0);
    raise_cell(cell, static_cast<float>(heights.from_mm + share * climb_mm));
  });
}

}  // namespace

void TopSurface::raise(const IndexedLayer& layer) {
  const std::vector<Footprint>& footprints = layer.index.footprints();
  for (std::size_t first = 0; first < footprints.size();) {
    const Bead& bead = layer.layer.beads[footprints[first].bead];
    std::size_t end = first + 1;
    while (end < footprints.size() && footprints[end].bead == footprints[first].bead) ++end;
    // What only fills the nozzle again leaves nothing behind.
    if (bead.area_mm2 > 0) {
      const double step_mm = (bead.to_mm.z - bead.from_mm.z) / static_cast<double>(end - first);
      for (std::size_t i = first; i < end; ++i) {
        const double from_mm = bead.from_mm.z + step_mm * static_cast<double>(i - first);
        raise_piece(heights_, footprints[i], half_width_mm(footprints[i], bead), {from_mm, from_mm + step_mm});
      }
      highest_mm_ = std::max({highest_mm_, bead.from_mm.z, bead.to_mm.z});
    }
    first = end;
  }
}

double TopSurface::at(PlanePoint place) const { return static_cast<double>(heights_.at(place, {}).top_mm); }

Obstacle TopSurface::over(const Point& from_mm, const Point& to_mm, double margin_mm, std::uint32_t layers) const {
  Obstacle obstacle;
  if (!(highest_mm_ > std::min(from_mm.z, to_mm.z) + margin_mm)) return obstacle;
  const double length_mm = std::hypot(to_mm.x - from_mm.x, to_mm.y - from_mm.y);
  const double samples = std::clamp(std::ceil(length_mm * samples_per_cell / Grid::cell_mm), 1.0, most_samples);
  double hit = 0;
  for (double i = 0; i < samples; ++i) {
    const double share = (i + 0.5) / samples;
    const Point place{from_mm.x + share * (to_mm.x - from_mm.x), from_mm.y + share * (to_mm.y - from_mm.y),
                      from_mm.z + share * (to_mm.z - from_mm.z)};
    const Column column = heights_.at({place.x, place.y}, {});
    const double depth_mm = static_cast<double>(column.top_mm) - place.z;
    if (!(depth_mm > margin_mm) || column.layers < layers) continue;
    ++hit;
    if (depth_mm <= obstacle.deepest_mm) continue;
    obstacle.deepest_mm = depth_mm;
    obstacle.at_mm = place;
  }
  obstacle.length_mm = length_mm * hit / samples;
  return obstacle;
}

}  // namespace beadwise
