#include "model/outline_index.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace beadwise {

namespace {

// Rows near the height of a piece: few pieces in each, and few rows for each piece.
constexpr double lowest_row_mm = 0.05;

}  // namespace

void OutlineIndex::clear() {
  pieces_.clear();
  starts_.clear();
  entries_.clear();
}

void OutlineIndex::add(PlanePoint a, PlanePoint b) {
  Piece piece{static_cast<float>(a.x), static_cast<float>(a.y), static_cast<float>(b.x), static_cast<float>(b.y)};
  if (piece.low_y_mm == piece.high_y_mm) return;
  if (piece.low_y_mm > piece.high_y_mm) {
    std::swap(piece.low_x_mm, piece.high_x_mm);
    std::swap(piece.low_y_mm, piece.high_y_mm);
  }
  pieces_.push_back(piece);
}

std::size_t OutlineIndex::row_of(double y_mm) const {
  const double row = std::floor((y_mm - low_y_mm_) * rows_per_mm_);
  return std::min(static_cast<std::size_t>(std::max(row, 0.0)), starts_.size() - 2);
}

void OutlineIndex::lay_rows() {
  starts_.clear();
  entries_.clear();
  if (pieces_.empty()) return;
  low_y_mm_ = 1e300;
  high_y_mm_ = -1e300;
  double sum_mm = 0;
  for (const Piece& piece : pieces_) {
    const auto low = static_cast<double>(piece.low_y_mm);
    const auto high = static_cast<double>(piece.high_y_mm);
    low_y_mm_ = std::min(low_y_mm_, low);
    high_y_mm_ = std::max(high_y_mm_, high);
    sum_mm += high - low;
  }
  const auto count = static_cast<double>(pieces_.size());
  const double extent_mm = high_y_mm_ - low_y_mm_;
  const double row_mm = std::max({lowest_row_mm, sum_mm / count, extent_mm / count});
  rows_per_mm_ = 1 / row_mm;
  starts_.assign(static_cast<std::size_t>(std::floor(extent_mm * rows_per_mm_)) + 2, 0);
  const auto each = [&](auto&& visit) {
    for (std::size_t i = pieces_.size(); i-- > 0;) {
      const std::size_t last = row_of(static_cast<double>(pieces_[i].high_y_mm));
      for (std::size_t row = row_of(static_cast<double>(pieces_[i].low_y_mm)); row <= last; ++row)
        visit(row, static_cast<std::uint32_t>(i));
    }
  };
  each([&](std::size_t row, std::uint32_t) { ++starts_[row]; });
  std::uint32_t sum = 0;
  for (std::uint32_t& start : starts_) start = sum += start;
  entries_.resize(sum);
  each([&](std::size_t row, std::uint32_t piece) { entries_[--starts_[row]] = piece; });
}

bool OutlineIndex::encloses(PlanePoint place) const {
  if (starts_.empty() || place.y < low_y_mm_ || place.y >= high_y_mm_) return false;
  const std::size_t row = row_of(place.y);
  bool inside = false;
  for (std::uint32_t i = starts_[row]; i < starts_[row + 1]; ++i) {
    const Piece& piece = pieces_[entries_[i]];
    const auto low_y = static_cast<double>(piece.low_y_mm);
    const auto high_y = static_cast<double>(piece.high_y_mm);
    // Half open, so that a corner that two pieces share counts once.
    if (place.y < low_y || place.y >= high_y) continue;
    const auto low_x = static_cast<double>(piece.low_x_mm);
    const double x = low_x + (static_cast<double>(piece.high_x_mm) - low_x) * (place.y - low_y) / (high_y - low_y);
    inside ^= x > place.x;
  }
  return inside;
}

}  // namespace beadwise
