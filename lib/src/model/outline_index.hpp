#pragma once

#include <cstdint>
#include <vector>

#include "model/plane.hpp"

namespace beadwise {

/// Closed outlines by rows, to tell quickly whether a place lies inside.
class OutlineIndex {
 public:
  void clear();
  /// One straight piece of an outline; outlines are closed by whoever adds them.
  void add(PlanePoint a, PlanePoint b);
  /// To be called after the last piece, before the first question.
  void lay_rows();

  /// Whether a place lies inside an odd number of outlines.
  bool encloses(PlanePoint place) const;

 private:
  /// Never level, the lower end first.
  struct Piece {
    float low_x_mm = 0;
    float low_y_mm = 0;
    float high_x_mm = 0;
    float high_y_mm = 0;
  };
  std::size_t row_of(double y_mm) const;

  std::vector<Piece> pieces_;
  std::vector<std::uint32_t> starts_;   ///< of each row in `entries_`; one more than there are rows
  std::vector<std::uint32_t> entries_;  ///< indices into `pieces_`
  double low_y_mm_ = 0;
  double high_y_mm_ = 0;
  double rows_per_mm_ = 0;
};

}  // namespace beadwise
