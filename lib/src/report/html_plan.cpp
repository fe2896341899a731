#include "report/html_plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <vector>

#include "report/html_text.hpp"

namespace beadwise {

namespace {

/// Which cells of a coarse grid over a box are printed on.
class Cells {
 public:
  static constexpr std::int64_t columns = 72;

  explicit Cells(const PictureWindow& box)
      : box_(box), size_(std::max<std::int64_t>(1, std::max(box.width(), box.height()) / columns + 1)) {
    wide_ = static_cast<std::size_t>(box.width() / size_ + 1);
    used_.resize(wide_ * static_cast<std::size_t>(box.height() / size_ + 1));
  }

  void add(PicturePoint from, PicturePoint to) {
    const double length = std::hypot(double(to.x) - from.x, double(to.y) - from.y);
    const auto steps = static_cast<std::int64_t>(length / (static_cast<double>(size_) / 2)) + 1;
    for (std::int64_t i = 0; i <= steps; ++i) {
      const std::int64_t x = from.x + (std::int64_t{to.x} - from.x) * i / steps;
      const std::int64_t y = from.y + (std::int64_t{to.y} - from.y) * i / steps;
      used_[static_cast<std::size_t>((box_.high.y - y) / size_) * wide_ +
            static_cast<std::size_t>((x - box_.low.x) / size_)] = true;
    }
  }

  /// Runs of used cells as rectangles.
  std::string path() const {
    std::string out;
    for (std::size_t first = 0; first < used_.size();) {
      if (!used_[first]) {
        ++first;
        continue;
      }
      std::size_t end = first + 1;
      while (end < used_.size() && used_[end] && end % wide_ != 0) ++end;
      fmt::format_to(std::back_inserter(out), "M{} {}h{}v1h-{}z", first % wide_, first / wide_, end - first,
                     end - first);
      first = end;
    }
    return out;
  }

  std::int64_t size() const { return size_; }
  std::size_t wide() const { return wide_; }
  std::size_t high() const { return used_.size() / wide_; }

 private:
  PictureWindow box_;
  std::int64_t size_;
  std::size_t wide_ = 0;
  std::vector<bool> used_;
};

/// In cells, no farther out of the grid than the plan has room for.
double share_of(std::int64_t distance, std::int64_t cell, std::size_t cells) {
  constexpr double room = 2.5;
  return std::clamp(static_cast<double>(distance) / static_cast<double>(cell), -room,
                    static_cast<double>(cells) + room);
}

}  // namespace

std::string plan_svg(const PictureView& view, std::string_view label) {
  const PictureWindow extent = extent_of(*view.layer);
  Cells cells(extent);
  for (const PictureBead& bead : view.layer->beads) cells.add(bead.from, bead.to);
  const auto column = [&](std::int32_t x) {
    return share_of(x - std::int64_t{extent.low.x}, cells.size(), cells.wide());
  };
  const auto row = [&](std::int32_t y) {
    return share_of(std::int64_t{extent.high.y} - y, cells.size(), cells.high());
  };
  const std::string frame =
      fmt::format(R"(<path d="M{0:.1f} {1:.1f}H{2:.1f}V{3:.1f}H{0:.1f}z"/>)", column(view.window.low.x),
                  row(view.window.high.y), column(view.window.high.x), row(view.window.low.y));
  // Room for a frame that reaches over the rim of the layer.
  return fmt::format(
      R"(<svg class="plan" viewBox="-4 -4 {} {}" role="img" aria-label="{}"><path class="printed" d="{}"/>)"
      R"(<g class="halo" stroke-width="4">{}</g><g class="signal" stroke-width="1.5">{}</g></svg>)",
      cells.wide() + 8, cells.high() + 8, escaped(label), cells.path(), frame, frame);
}

}  // namespace beadwise
