#pragma once

#include <algorithm>
#include <cmath>
#include <utility>

#include "model/plane.hpp"

namespace beadwise {

/// A rectangle with round ends, cut into rows.
class RoundedRectangle {
 public:
  RoundedRectangle(PlanePoint a, PlanePoint b, double half_mm) : low_(a), high_(b), half_mm_(half_mm) {
    if (b.y < a.y || (b.y == a.y && b.x < a.x)) std::swap(low_, high_);
    const double dx = high_.x - low_.x;
    const double dy = high_.y - low_.y;
    const double length_mm = std::sqrt(dx * dx + dy * dy);
    normal_x_mm_ = length_mm > 0 ? half_mm * dy / length_mm : half_mm;
    normal_y_mm_ = length_mm > 0 ? -half_mm * dx / length_mm : 0;
    x_per_y_ = dy > 0 ? dx / dy : 0;
  }

  double low_mm() const { return low_.y - half_mm_; }
  double high_mm() const { return high_.y + half_mm_; }
  /// Where a row between low_mm() and high_mm() enters and leaves it.
  double left_at(double y) const { return edge(y, -normal_x_mm_, -normal_y_mm_, -1); }
  double right_at(double y) const { return edge(y, normal_x_mm_, normal_y_mm_, 1); }

 private:
  // One side of the rectangle as far as it goes, else the round end beyond it.
  double edge(double y, double offset_x_mm, double offset_y_mm, double side) const {
    const double along_mm = y - offset_y_mm;
    if (along_mm < low_.y) return on_end(low_, y, side);
    if (along_mm > high_.y) return on_end(high_, y, side);
    return low_.x + offset_x_mm + (along_mm - low_.y) * x_per_y_;
  }
  double on_end(PlanePoint end, double y, double side) const {
    const double up_mm = y - end.y;
    return end.x + side * std::sqrt(std::max(0.0, half_mm_ * half_mm_ - up_mm * up_mm));
  }

  PlanePoint low_;
  PlanePoint high_;
  double half_mm_ = 0;
  double normal_x_mm_ = 0;  ///< from the middle line to the right side
  double normal_y_mm_ = 0;
  double x_per_y_ = 0;
};

/// Calls `visit(row, first_column, last_column)` for each row of cells with middles in the rounded rectangle.
template <class Grid, class Visit>
void for_each_row(PlanePoint a, PlanePoint b, double half_mm, Visit&& visit) {
  const RoundedRectangle shape(a, b, half_mm);
  const int last_row = Grid::last_to(shape.high_mm());
  for (int row = Grid::first_from(shape.low_mm()); row <= last_row; ++row) {
    const double y = Grid::middle_mm(row);
    const int first = Grid::first_from(shape.left_at(y));
    const int last = Grid::last_to(shape.right_at(y));
    if (first <= last) visit(row, first, last);
  }
}

}  // namespace beadwise
