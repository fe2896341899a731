#pragma once

#include <algorithm>
#include <cmath>
#include <utility>

#include "model/plane.hpp"

namespace beadwise {

/// A rectangle with round ends, cut by rows of equal y.
class RoundedRectangle {
 public:
  RoundedRectangle(PlanePoint a, PlanePoint b, double half_mm) : low_(a), high_(b), half_mm_(half_mm) {
    if (b.y < a.y || (b.y == a.y && b.x < a.x)) std::swap(low_, high_);
    dx_ = high_.x - low_.x;
    dy_ = high_.y - low_.y;
    const double length_mm = std::sqrt(dx_ * dx_ + dy_ * dy_);
    side_y_mm_ = length_mm > 0 ? half_mm * dx_ / length_mm : 0;
    // Of a level one the row meets the right side beyond its end, whatever its height.
    per_dy_ = 1 / std::max(dy_, 1e-30);
    x_per_y_ = dx_ * per_dy_;
    straight_half_mm_ = length_mm > 0 ? half_mm * length_mm * per_dy_ : half_mm;
  }

  double low_mm() const { return low_.y - half_mm_; }
  double high_mm() const { return high_.y + half_mm_; }
  /// Where a row between low_mm() and high_mm() enters and leaves it.
  double left_at(double y) const {
    const double share = share_at(y - side_y_mm_);
    return low_.x + share * dx_ - half_chord_mm(y, share);
  }
  double right_at(double y) const {
    const double share = share_at(y + side_y_mm_);
    return low_.x + share * dx_ + half_chord_mm(y, share);
  }

  /// Between these heights the rows enter and leave it on its straight sides, as far from the middle line on each.
  double straight_from_mm() const { return low_.y + std::abs(side_y_mm_); }
  double straight_to_mm() const { return high_.y - std::abs(side_y_mm_); }
  double straight_middle_at(double y) const { return low_.x + (y - low_.y) * x_per_y_; }
  double straight_half_mm() const { return straight_half_mm_; }
  double x_per_y() const { return x_per_y_; }

 private:
  // It is what a disc covers that runs along the middle line. The disc that reaches farthest to a side touches the
  // straight side where the row meets it, else it is the one at the nearer end. No branches: rows are many and short.
  double share_at(double y) const { return std::min(1.0, std::max(0.0, (y - low_.y) * per_dy_)); }
  double half_chord_mm(double y, double share) const {
    const double up_mm = y - low_.y - share * dy_;
    return std::sqrt(std::max(0.0, half_mm_ * half_mm_ - up_mm * up_mm));
  }

  PlanePoint low_;
  PlanePoint high_;
  double half_mm_ = 0;
  double dx_ = 0;
  double dy_ = 0;
  double per_dy_ = 0;
  double x_per_y_ = 0;
  double straight_half_mm_ = 0;
  double side_y_mm_ = 0;  ///< how far the right side lies below the middle line
};

}  // namespace beadwise
