#include "model/bead_index.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "model/bead_path.hpp"

namespace beadwise {

namespace {

constexpr double chord_error_mm = 0.01;
constexpr double most_chords = 720;
// Cells near the size of a bead keep few beads in each; larger ones where beads are long, so that few cells hold each.
constexpr double smallest_cell_mm = 1;
constexpr double largest_cell_mm = 3;
constexpr std::size_t cells_per_footprint = 4;
constexpr double cells_per_way = 256;
constexpr std::size_t cells_always = 256;

double chords_of(const Bead& bead, const std::vector<Arc>& arcs) {
  if (bead.arc < 0) return 1;
  const Arc& arc = arcs[static_cast<std::size_t>(bead.arc)];
  if (!(arc.radius_mm > chord_error_mm)) return 1;
  const double step_rad = 2 * std::acos(1 - chord_error_mm / arc.radius_mm);
  return std::clamp(std::ceil(std::abs(arc.sweep_rad) / step_rad), 1.0, most_chords);
}

}  // namespace

bool Footprint::holds(PlanePoint place) const {
  const double half_mm2 = half_mm() * half_mm();
  const double dx = place.x - static_cast<double>(from_x_mm);
  const double dy = place.y - static_cast<double>(from_y_mm);
  const double along_x = static_cast<double>(to_x_mm - from_x_mm);
  const double along_y = static_cast<double>(to_y_mm - from_y_mm);
  const double along = dx * along_x + dy * along_y;
  const double length_mm2 = along_x * along_x + along_y * along_y;
  if (along <= 0) return dx * dx + dy * dy <= half_mm2;
  if (along >= length_mm2) {
    const double ex = dx - along_x;
    const double ey = dy - along_y;
    return ex * ex + ey * ey <= half_mm2;
  }
  // Beside it: no division, this is asked most.
  const double across = dx * along_y - dy * along_x;
  return across * across <= half_mm2 * length_mm2;
}

void BeadIndex::add_footprints(const Layer& layer, double widest_mm, double usual_mm) {
  footprints_.clear();
  for (std::size_t i = 0; i < layer.beads.size(); ++i) {
    const Bead& bead = layer.beads[i];
    double width_mm = std::isfinite(bead.width_mm) ? bead.width_mm : usual_mm;
    width_mm = std::clamp(width_mm, 0.0, widest_mm);
    const double chords = chords_of(bead, layer.arcs);
    Point from = bead.from_mm;
    for (double chord = 1; chord <= chords; ++chord) {
      const Point to = chord == chords ? bead.to_mm : point_on_bead(bead, layer.arcs, chord / chords);
      footprints_.push_back({.from_x_mm = static_cast<float>(from.x),
                             .from_y_mm = static_cast<float>(from.y),
                             .to_x_mm = static_cast<float>(to.x),
                             .to_y_mm = static_cast<float>(to.y),
                             .half_width_mm = static_cast<float>(width_mm / 2),
                             .bead = static_cast<std::uint32_t>(i)});
      from = to;
    }
  }
}

void BeadIndex::lay_grid() {
  columns_ = 0;
  rows_ = 0;
  starts_.clear();
  entries_.clear();
  if (footprints_.empty()) return;
  low_ = {1e300, 1e300};
  high_ = {-1e300, -1e300};
  double length_mm = 0;
  for (const Footprint& footprint : footprints_) {
    const double reach = touch_ratio * footprint.half_mm();
    const PlanePoint a = footprint.from();
    const PlanePoint b = footprint.to();
    low_ = {std::min({low_.x, a.x - reach, b.x - reach}), std::min({low_.y, a.y - reach, b.y - reach})};
    high_ = {std::max({high_.x, a.x + reach, b.x + reach}), std::max({high_.y, a.y + reach, b.y + reach})};
    length_mm += std::hypot(b.x - a.x, b.y - a.y);
  }
  const double mean_mm = length_mm / static_cast<double>(footprints_.size());
  double cell_mm = std::clamp(mean_mm, smallest_cell_mm, largest_cell_mm);
  const double most_cells = static_cast<double>(cells_always + cells_per_footprint * footprints_.size());
  const double width_mm = high_.x - low_.x;
  const double depth_mm = high_.y - low_.y;
  // A long and thin box makes the cells no smaller than its length allows, and beads that all run through it make them
  // large enough for each to lie in a few.
  cell_mm = std::max({cell_mm, std::sqrt(width_mm * depth_mm / most_cells), std::max(width_mm, depth_mm) / most_cells,
                      mean_mm / cells_per_way});
  per_mm_ = 1 / cell_mm;
  columns_ = static_cast<int>(std::floor(width_mm * per_mm_)) + 1;
  rows_ = static_cast<int>(std::floor(depth_mm * per_mm_)) + 1;
  starts_.assign(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_) + 1, 0);
  const auto each = [&](auto&& visit) {
    for (std::size_t i = 0; i < footprints_.size(); ++i)
      for_each_cell(footprints_[i].from(), footprints_[i].to(), touch_ratio * footprints_[i].half_mm(),
                    [&](std::size_t cell) { visit(cell, static_cast<std::uint32_t>(i)); });
  };
  each([&](std::size_t cell, std::uint32_t) { ++starts_[cell]; });
  std::uint32_t sum = 0;
  for (std::uint32_t& start : starts_) {
    const std::uint32_t count = start;
    sum += count;
    start = sum;
  }
  entries_.resize(sum);
  // From the back, so that the indices ascend within a cell and each start ends where its cell begins.
  for (std::size_t i = footprints_.size(); i-- > 0;)
    for_each_cell(footprints_[i].from(), footprints_[i].to(), touch_ratio * footprints_[i].half_mm(),
                  [&](std::size_t cell) { entries_[--starts_[cell]] = static_cast<std::uint32_t>(i); });
}

void BeadIndex::build(const Layer& layer, double widest_mm, double usual_mm) {
  add_footprints(layer, widest_mm, usual_mm);
  lay_grid();
}

bool BeadIndex::covers(PlanePoint place, double margin_mm) const {
  bool found = false;
  for_each_cell(place, place, std::max(0.0, margin_mm), [&](std::size_t cell) {
    for (std::uint32_t i = starts_[cell]; !found && i < starts_[cell + 1]; ++i) {
      const Footprint& footprint = footprints_[entries_[i]];
      const double reach_mm = footprint.half_mm() + margin_mm;
      if (reach_mm < 0) continue;
      found = squared_distance_mm2(place, footprint.from(), footprint.to()) <= reach_mm * reach_mm;
    }
  });
  return found;
}

void BeadIndex::cover(PlanePoint a, PlanePoint b, double margin_mm, std::vector<Covered>& into,
                      std::uint32_t beads) const {
  into.clear();
  const double dx = b.x - a.x;
  const double dy = b.y - a.y;
  const double length_mm = std::sqrt(dx * dx + dy * dy);
  // Most footprints of the cells that a way passes lie beside it, which two products tell.
  const auto aside = [&](PlanePoint place) { return (place.y - a.y) * dx - (place.x - a.x) * dy; };
  near(a, b, std::max(0.0, margin_mm), [&](const Footprint& footprint) {
    const double reach_mm = footprint.half_mm() + margin_mm;
    if (footprint.bead >= beads || reach_mm < 0) return;
    const double from = aside(footprint.from());
    const double to = aside(footprint.to());
    if (std::min(from, to) > reach_mm * length_mm || std::max(from, to) < -reach_mm * length_mm) return;
    if (const auto span = part_within(a, b, footprint.from(), footprint.to(), reach_mm))
      into.push_back({*span, footprint.bead});
  });
  const auto key = [](const Covered& one) { return std::tuple(one.span.from, one.bead, one.span.to); };
  std::sort(into.begin(), into.end(), [&](const Covered& one, const Covered& other) { return key(one) < key(other); });
  // A footprint that lies in several cells is met in each.
  into.erase(std::unique(into.begin(), into.end(),
                         [&](const Covered& one, const Covered& other) { return key(one) == key(other); }),
             into.end());
}

double covered_share(const std::vector<Covered>& parts) {
  double share = 0;
  double reached = 0;
  for (const Covered& part : parts) {
    const double from = std::max(part.span.from, reached);
    if (part.span.to > from) share += part.span.to - from;
    reached = std::max(reached, part.span.to);
  }
  return share;
}

}  // namespace beadwise
