#include "model/printed_area.hpp"

#include <algorithm>
#include <cmath>

namespace beadwise {

namespace {

// A circle of sixteen scanlines is measured within 0.5 %; a bead, mostly its straight part, far closer.
constexpr double lines_per_width = 16;
// So many crossings of a scanline and a footprint take a few milliseconds. A region that would take more is so large
// that its area comes out within 1 % on a wider pitch.
constexpr double most_crossings = 300000;
// Beads lie along the axes or at 45° to them. Scanlines at an angle to all of these do not run along a slit.
constexpr double turn_cos = 0.96;
constexpr double turn_sin = 0.28;

// No nozzle lays a thinner bead, and no machine is larger: what a broken file makes of E and X takes no time.
constexpr double thinnest_half_mm = 0.005;
constexpr double farthest_mm = 1e6;

bool can_be_laid(const Footprint& footprint) {
  const PlanePoint a = footprint.from();
  const PlanePoint b = footprint.to();
  // Not so for what is no number either.
  return footprint.half_mm() >= thinnest_half_mm && footprint.half_mm() < farthest_mm && std::abs(a.x) < farthest_mm &&
         std::abs(a.y) < farthest_mm && std::abs(b.x) < farthest_mm && std::abs(b.y) < farthest_mm;
}

PlanePoint turned(PlanePoint place) {
  return {turn_cos * place.x - turn_sin * place.y, turn_sin * place.x + turn_cos * place.y};
}

/// A stretch of a scanline, as wide as the pitch.
void add_stretch(AreaMoments& sum, double from, double to, double y, double pitch_mm) {
  const double area = (to - from) * pitch_mm;
  const double middle = (from + to) / 2;
  sum.area_mm2 += area;
  sum.x_mm3 += area * middle;
  sum.y_mm3 += area * y;
  sum.xx_mm4 += pitch_mm * (to * to * to - from * from * from) / 3;
  sum.xy_mm4 += area * middle * y;
  sum.yy_mm4 += area * (y * y + pitch_mm * pitch_mm / 12);
}

/// Moments measured in turned axes, about the plate's own. `origin` is where the turned axes cross, turned.
AreaMoments turned_back(const AreaMoments& turned, PlanePoint origin) {
  AreaMoments shifted = turned;
  shifted.x_mm3 += turned.area_mm2 * origin.x;
  shifted.y_mm3 += turned.area_mm2 * origin.y;
  shifted.xx_mm4 += 2 * origin.x * turned.x_mm3 + turned.area_mm2 * origin.x * origin.x;
  shifted.yy_mm4 += 2 * origin.y * turned.y_mm3 + turned.area_mm2 * origin.y * origin.y;
  shifted.xy_mm4 += origin.x * turned.y_mm3 + origin.y * turned.x_mm3 + turned.area_mm2 * origin.x * origin.y;
  constexpr double c = turn_cos;
  constexpr double s = turn_sin;
  AreaMoments back;
  back.area_mm2 = shifted.area_mm2;
  back.x_mm3 = c * shifted.x_mm3 + s * shifted.y_mm3;
  back.y_mm3 = c * shifted.y_mm3 - s * shifted.x_mm3;
  back.xx_mm4 = c * c * shifted.xx_mm4 + 2 * c * s * shifted.xy_mm4 + s * s * shifted.yy_mm4;
  back.yy_mm4 = c * c * shifted.yy_mm4 - 2 * c * s * shifted.xy_mm4 + s * s * shifted.xx_mm4;
  back.xy_mm4 = c * s * (shifted.yy_mm4 - shifted.xx_mm4) + (c * c - s * s) * shifted.xy_mm4;
  return back;
}

}  // namespace

void AreaMoments::add(const AreaMoments& other) {
  area_mm2 += other.area_mm2;
  x_mm3 += other.x_mm3;
  y_mm3 += other.y_mm3;
  xx_mm4 += other.xx_mm4;
  xy_mm4 += other.xy_mm4;
  yy_mm4 += other.yy_mm4;
}

PlanePoint AreaMoments::middle_mm() const {
  if (area_mm2 <= 0) return {};
  return {x_mm3 / area_mm2, y_mm3 / area_mm2};
}

double AreaMoments::second_moment_mm4(PlanePoint direction) const {
  const double first = direction.x * x_mm3 + direction.y * y_mm3;
  const double second =
      direction.x * direction.x * xx_mm4 + 2 * direction.x * direction.y * xy_mm4 + direction.y * direction.y * yy_mm4;
  return area_mm2 > 0 ? std::max(0.0, second - first * first / area_mm2) : 0;
}

double PrintedArea::turn(std::span<const Footprint> footprints) {
  turned_.clear();
  origin_ = {};
  double width_mm = 0;
  double climb_mm = 0;
  for (const Footprint& footprint : footprints) {
    if (!can_be_laid(footprint)) continue;
    const PlanePoint from = turned(footprint.from());
    if (turned_.empty()) origin_ = from;
    const PlanePoint to = turned(footprint.to());
    turned_.emplace_back(PlanePoint{from.x - origin_.x, from.y - origin_.y},
                         PlanePoint{to.x - origin_.x, to.y - origin_.y}, footprint.half_mm());
    width_mm += 2 * footprint.half_mm();
    climb_mm += turned_.back().high_mm() - turned_.back().low_mm();
  }
  if (turned_.empty()) return 0;
  std::stable_sort(turned_.begin(), turned_.end(), [](const RoundedRectangle& one, const RoundedRectangle& other) {
    return one.low_mm() < other.low_mm();
  });
  return std::max(width_mm / static_cast<double>(turned_.size()) / lines_per_width, climb_mm / most_crossings);
}

AreaMoments PrintedArea::sweep(double pitch_mm) {
  AreaMoments sum;
  active_.clear();
  std::uint32_t next = 0;
  const double start = turned_.front().low_mm() + pitch_mm / 2;
  for (double line = 0; next < turned_.size() || !active_.empty(); ++line) {
    if (active_.empty()) line = std::max(line, std::floor((turned_[next].low_mm() - start) / pitch_mm));
    const double y = start + line * pitch_mm;
    for (; next < turned_.size() && turned_[next].low_mm() <= y; ++next) active_.push_back(next);
    std::erase_if(active_, [&](std::uint32_t i) { return turned_[i].high_mm() < y; });
    strips_.clear();
    for (const std::uint32_t i : active_) {
      strips_.push_back({turned_[i].left_at(y), turned_[i].right_at(y)});
    }
    std::sort(strips_.begin(), strips_.end(), [](const Strip& one, const Strip& other) {
      return one.from != other.from ? one.from < other.from : one.to < other.to;
    });
    double reached = -1e300;
    for (const Strip& strip : strips_) {
      const double from = std::max(strip.from, reached);
      if (strip.to > from) add_stretch(sum, from, strip.to, y, pitch_mm);
      reached = std::max(reached, strip.to);
    }
  }
  return sum;
}

AreaMoments PrintedArea::of(std::span<const Footprint> footprints) {
  const double pitch_mm = turn(footprints);
  if (turned_.empty()) return {};
  return turned_back(sweep(pitch_mm), origin_);
}

}  // namespace beadwise
