#pragma once

#include <cmath>
#include <cstdint>
#include <limits>
#include <vector>

#include "beadwise/bead.hpp"
#include "model/plane.hpp"

namespace beadwise {

/// A straight piece of a bead seen from above: every place within half the bead's width of it, a rectangle with round
/// ends. An arc is several pieces, its chords at most 0.01 mm off.
struct Footprint {
  float from_x_mm = 0;
  float from_y_mm = 0;
  float to_x_mm = 0;
  float to_y_mm = 0;
  float half_width_mm = 0;
  std::uint32_t bead = 0;  ///< index into the layer's beads

  PlanePoint from() const { return {static_cast<double>(from_x_mm), static_cast<double>(from_y_mm)}; }
  PlanePoint to() const { return {static_cast<double>(to_x_mm), static_cast<double>(to_y_mm)}; }
  double half_mm() const { return static_cast<double>(half_width_mm); }
  /// Whether a place lies in it.
  bool holds(PlanePoint place) const;
};

/// A part of a segment that a bead covers.
struct Covered {
  Span span;
  std::uint32_t bead = 0;
};

/// The beads of one layer by place: exact footprints in the cells of a uniform grid.
class BeadIndex {
 public:
  /// Beads closer than this share of their half widths beyond touching still count as connected: flow is rounded, and
  /// lines laid to touch are laid a few per cent apart. Common practice.
  static constexpr double touch_ratio = 1.125;

  /// Takes in the beads of a layer, none wider than `widest_mm`; beads of unknown width count as `usual_mm` wide.
  void build(const Layer& layer, double widest_mm, double usual_mm);

  const std::vector<Footprint>& footprints() const { return footprints_; }
  bool empty() const { return footprints_.empty(); }

  /// Whether a place lies within `margin_mm` of some bead's footprint (inside it for 0; deeper for less than 0).
  bool covers(PlanePoint place, double margin_mm = 0) const;

  /// The parts of the segment a–b that lie within `margin_mm` of footprints, each with its bead, in order of their
  /// start; `into` is cleared before. A bead of several pieces gives several parts. Of the first `beads` beads alone.
  void cover(PlanePoint a, PlanePoint b, double margin_mm, std::vector<Covered>& into,
             std::uint32_t beads = std::numeric_limits<std::uint32_t>::max()) const;

  /// Calls `visit(const Footprint&)` for every footprint that comes within `reach_mm` of the segment a–b, and for some
  /// that do not; for one that lies in several cells several times.
  template <class Visit>
  void near(PlanePoint a, PlanePoint b, double reach_mm, Visit&& visit) const {
    for_each_cell(a, b, reach_mm, [&](std::size_t cell) {
      for (std::uint32_t i = starts_[cell]; i < starts_[cell + 1]; ++i) visit(footprints_[entries_[i]]);
    });
  }

  /// Calls `visit(first, last)`, pointers to indices into footprints(), for every cell of the grid that holds any.
  /// Footprints that touch share a cell.
  template <class Visit>
  void each_cell(Visit&& visit) const {
    for (std::size_t cell = 0; cell + 1 < starts_.size(); ++cell)
      if (starts_[cell] < starts_[cell + 1])
        visit(entries_.data() + starts_[cell], entries_.data() + starts_[cell + 1]);
  }

  /// Box around all footprints, mm; nothing lies outside it.
  PlanePoint low_mm() const { return low_; }
  PlanePoint high_mm() const { return high_; }

 private:
  template <class Visit>
  void for_each_cell(PlanePoint a, PlanePoint b, double reach_mm, Visit&& visit) const {
    if (columns_ == 0) return;
    const auto column_of = [&](double x) { return static_cast<int>(std::floor((x - low_.x) * per_mm_)); };
    const auto row_of = [&](double y) { return static_cast<int>(std::floor((y - low_.y) * per_mm_)); };
    const double left = std::min(a.x, b.x) - reach_mm;
    const double right = std::max(a.x, b.x) + reach_mm;
    const double bottom = std::min(a.y, b.y) - reach_mm;
    const double top = std::max(a.y, b.y) + reach_mm;
    if (right < low_.x || left > high_.x || top < low_.y || bottom > high_.y) return;
    const int first_column = std::max(0, column_of(std::max(left, low_.x)));
    const int last_column = std::min(columns_ - 1, column_of(std::min(right, high_.x)));
    const int first_row = std::max(0, row_of(std::max(bottom, low_.y)));
    const int last_row = std::min(rows_ - 1, row_of(std::min(top, high_.y)));
    const double dx = b.x - a.x;
    const bool narrow = first_column == last_column || first_row == last_row || std::abs(dx) < 1e-9;
    for (int column = first_column; column <= last_column; ++column) {
      int low_row = first_row;
      int high_row = last_row;
      if (!narrow) {
        // Where the segment runs while it is within reach of this column.
        const double column_left = low_.x + column / per_mm_ - reach_mm;
        const double column_right = low_.x + (column + 1) / per_mm_ + reach_mm;
        const double t1 = std::clamp((column_left - a.x) / dx, 0.0, 1.0);
        const double t2 = std::clamp((column_right - a.x) / dx, 0.0, 1.0);
        const double y1 = a.y + t1 * (b.y - a.y);
        const double y2 = a.y + t2 * (b.y - a.y);
        low_row = std::max(first_row, row_of(std::max(std::min(y1, y2) - reach_mm, low_.y)));
        high_row = std::min(last_row, row_of(std::min(std::max(y1, y2) + reach_mm, high_.y)));
      }
      for (int row = low_row; row <= high_row; ++row)
        visit(static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(column));
    }
  }

  void add_footprints(const Layer& layer, double widest_mm, double usual_mm);
  void lay_grid();

  std::vector<Footprint> footprints_;
  std::vector<std::uint32_t> starts_;   ///< of each cell in `entries_`; one more than there are cells
  std::vector<std::uint32_t> entries_;  ///< indices into `footprints_`, ascending within a cell
  PlanePoint low_;
  PlanePoint high_;
  double per_mm_ = 1;
  int columns_ = 0;
  int rows_ = 0;
};

/// Length of the segment that the parts cover together, as a share of it (0 to 1). `parts` are in order of their start.
double covered_share(const std::vector<Covered>& parts);

}  // namespace beadwise
