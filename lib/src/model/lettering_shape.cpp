#include "model/lettering_shape.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace beadwise {

namespace {

constexpr double largest_piece_mm = 6 * tallest_glyph_mm;  // a word whose letters run together
// Heavy faces have strokes of up to a third of the height: common practice.
constexpr double thickest_stroke_ratio = 0.36;  // of the size
constexpr double shortest_stroke_ratio = 2.5;   // of the width
constexpr double bar_ratio = 1.6;               // least extent over the stroke's width
constexpr double ring_depth_ratio = 1.5;        // of the width: lines deeper in than this are no part of a ring
// Lines to and fro: at least so many of them, with so much of the whole length; W has two each way, m has three.
constexpr std::size_t hatch_lines = 4;
constexpr double hatch_share = 0.45;
constexpr double hatch_length_ratio = 0.4;  // of the size, and of the longest
constexpr double hatch_step_ratio = 0.25;
constexpr double parallel_ratio = 0.1;
constexpr double outlined_ratio = 1.5;
constexpr double copy_size_ratio = 0.07;  // copies are laid alike to within rounding and the phase of their fill
constexpr double copy_form_difference = 0.035;
constexpr double hull_error_ratio = 0.004;  // of the size: what leaving out corners of the hull may cut off
constexpr double sample_ratio = 0.05;       // of the size: distance of the places looked at along the lines

/// Where lines begin and end, those that follow each other once.
std::vector<PlanePoint> ends_of(const std::vector<PlaneSegment>& lines) {
  std::vector<PlanePoint> places;
  places.reserve(2 * lines.size());
  for (const PlaneSegment& line : lines) {
    const bool goes_on = !places.empty() && places.back().x == line.from.x && places.back().y == line.from.y;
    if (!goes_on) places.push_back(line.from);
    places.push_back(line.to);
  }
  return places;
}

/// Andrew's monotone chain, 1979.
std::vector<PlanePoint> convex_hull(std::vector<PlanePoint> places) {
  const auto before = [](PlanePoint a, PlanePoint b) { return a.x < b.x || (a.x == b.x && a.y < b.y); };
  std::sort(places.begin(), places.end(), before);
  std::vector<PlanePoint> hull;
  const auto chain = [&](auto first, auto last) {
    const std::size_t base = hull.size();
    for (auto place = first; place != last; ++place) {
      while (hull.size() >= base + 2 && cross(hull[hull.size() - 2], hull.back(), *place) <= 0) hull.pop_back();
      hull.push_back(*place);
    }
    hull.pop_back();
  };
  chain(places.begin(), places.end());
  chain(places.rbegin(), places.rend());
  if (hull.empty() && !places.empty()) hull.push_back(places.front());
  return hull;
}

std::size_t after(const std::vector<PlanePoint>& hull, std::size_t corner) {
  return corner + 1 == hull.size() ? 0 : corner + 1;
}

/// Leaves out corners that stand out by less than `error_mm`; at least one in eight stays.
void thin_out(std::vector<PlanePoint>& hull, double error_mm) {
  std::size_t kept = 1;  // corners before it stay
  std::size_t left_out = 0;
  for (std::size_t i = 1; i < hull.size(); ++i) {
    const PlanePoint next = hull[after(hull, i)];
    bool needed = left_out == 7;
    for (std::size_t k = i - left_out; k <= i && !needed; ++k)
      needed = squared_distance_mm2(hull[k], hull[kept - 1], next) > error_mm * error_mm;
    left_out = needed ? 0 : left_out + 1;
    if (needed) hull[kept++] = hull[i];
  }
  hull.resize(std::min(kept, hull.size()));
}

double area_mm2(const std::vector<PlanePoint>& hull) {
  double twice = 0;
  for (std::size_t i = 2; i < hull.size(); ++i) twice += cross(hull[0], hull[i - 1], hull[i]);
  return twice / 2;
}

/// Whether the next corner lies farther from a side than this one does.
bool recedes(const std::vector<PlanePoint>& hull, std::size_t side, std::size_t corner) {
  const PlanePoint a = hull[side];
  const PlanePoint b = hull[after(hull, side)];
  return cross(a, b, hull[after(hull, corner)]) > cross(a, b, hull[corner]);
}

/// The corners farthest apart lie on parallel lines that touch the hull from outside (Shamos 1978).
double diameter_mm(const std::vector<PlanePoint>& hull) {
  double most_mm = 0;
  std::size_t across = hull.size() > 1 ? 1 : 0;
  for (std::size_t i = 0; i < hull.size(); ++i) {
    while (recedes(hull, i, across)) {
      most_mm = std::max(most_mm, distance_mm(hull[i], hull[across]));
      across = after(hull, across);
    }
    most_mm = std::max({most_mm, distance_mm(hull[i], hull[across]), distance_mm(hull[after(hull, i)], hull[across])});
  }
  return most_mm;
}

/// The least width of a convex polygon lies across one of its sides.
double least_extent_mm(const std::vector<PlanePoint>& hull) {
  if (hull.size() < 3) return 0;
  double least_mm = 1e300;
  std::size_t across = hull.size() > 1 ? 1 : 0;
  for (std::size_t i = 0; i < hull.size(); ++i) {
    const PlanePoint a = hull[i];
    const PlanePoint b = hull[after(hull, i)];
    const double side_mm = distance_mm(a, b);
    if (side_mm <= 0) continue;
    while (recedes(hull, i, across)) across = after(hull, across);
    least_mm = std::min(least_mm, cross(a, b, hull[across]) / side_mm);
  }
  return least_mm;
}

/// Calls `visit(place, length_mm)` for places along the lines that stand for a length of them each.
template <class Visit>
void along_lines(const std::vector<PlaneSegment>& lines, double step_mm, Visit&& visit) {
  for (const PlaneSegment& line : lines) {
    const double length_mm = distance_mm(line.from, line.to);
    // A piece without any size has no steps either.
    const int parts = step_mm > 0 ? std::max(1, static_cast<int>(std::ceil(length_mm / step_mm))) : 1;
    for (int i = 0; i < parts; ++i) {
      const double t = (i + 0.5) / parts;
      visit(PlanePoint{line.from.x + t * (line.to.x - line.from.x), line.from.y + t * (line.to.y - line.from.y)},
            length_mm / parts);
    }
  }
}

/// Looks from a place inside a hull to its edge. Quick where one look leads close to the one before.
class EdgeView {
 public:
  EdgeView(const std::vector<PlanePoint>& hull, PlanePoint place) : hull_(hull), place_(place) {}

  /// Distance to the edge in a direction of length 1.
  double distance(double dx, double dy) {
    // Turns to the side through which the direction leads out; round once at most.
    for (std::size_t turns = 0; turns < hull_.size(); ++turns) {
      const PlanePoint a = hull_[side_];
      const PlanePoint b = hull_[after(hull_, side_)];
      if ((a.x - place_.x) * dy - (a.y - place_.y) * dx < 0)
        side_ = side_ == 0 ? hull_.size() - 1 : side_ - 1;
      else if (dx * (b.y - place_.y) - dy * (b.x - place_.x) <= 0)
        side_ = after(hull_, side_);
      else
        return distance_through(a, b, dx, dy);
    }
    double nearest = 1e300;
    for (std::size_t i = 0; i < hull_.size(); ++i)
      nearest = std::min(nearest, distance_through(hull_[i], hull_[after(hull_, i)], dx, dy));
    return nearest;
  }

 private:
  double distance_through(PlanePoint a, PlanePoint b, double dx, double dy) const {
    const double run = (b.x - a.x) * dy - (b.y - a.y) * dx;  // below 0 where the direction leads out through this side
    if (run >= 0) return 1e300;
    return ((b.x - a.x) * (a.y - place_.y) - (b.y - a.y) * (a.x - place_.x)) / run;
  }

  const std::vector<PlanePoint>& hull_;
  PlanePoint place_;
  std::size_t side_ = 0;
};

/// One of sixteen equal parts of the view around a place.
unsigned sector_of(double dx, double dy) {
  constexpr double sixteenth_of_turn = 0.41421356237309503;  // tan 22.5°
  const double x = std::abs(dx);
  const double y = std::abs(dy);
  const unsigned from_x = y <= x ? (y > sixteenth_of_turn * x ? 1 : 0) : (x < sixteenth_of_turn * y ? 3 : 2);
  if (dy >= 0) return dx >= 0 ? from_x : 7 - from_x;
  return dx < 0 ? 8 + from_x : 15 - from_x;
}

/// Whether the lines run all around the middle, nowhere far from the hull.
bool is_ring(const GlyphPiece& piece, const GlyphShape& shape) {
  if (shape.hull.size() < 3) return false;
  constexpr unsigned all_around = 0xffff;
  unsigned seen = 0;
  bool empty_inside = true;
  const double depth_mm = ring_depth_ratio * shape.width_mm;
  EdgeView view(shape.hull, shape.middle);
  along_lines(piece.lines, sample_ratio * shape.size_mm, [&](PlanePoint place, double) {
    if (!empty_inside) return;
    const double dx = place.x - shape.middle.x;
    const double dy = place.y - shape.middle.y;
    const double from_middle = std::sqrt(dx * dx + dy * dy);
    empty_inside = from_middle >= 1e-9 && from_middle >= view.distance(-dx / from_middle, -dy / from_middle) - depth_mm;
    seen |= 1U << sector_of(dx, dy);
  });
  return empty_inside && seen == all_around;
}

/// Whether lines that go to and fro at one distance make up most of it: infill, support.
bool is_hatching(const GlyphPiece& piece, double size_mm) {
  const PlaneSegment* longest = nullptr;
  double longest_mm = 0;
  double all_mm = 0;
  for (const PlaneSegment& line : piece.lines) {
    const double length_mm = distance_mm(line.from, line.to);
    all_mm += length_mm;
    if (length_mm > longest_mm) longest = &line;
    longest_mm = std::max(longest_mm, length_mm);
  }
  const bool outlined = all_mm > outlined_ratio * piece.stroke_mm;  // both sides of strokes, not strokes
  if (outlined || longest_mm < hatch_length_ratio * size_mm) return false;
  std::vector<double> offsets;
  double parallel_mm = 0;
  for (const PlaneSegment& line : piece.lines) {
    const double length_mm = distance_mm(line.from, line.to);
    if (length_mm < hatch_length_ratio * longest_mm) continue;
    const double dx = (longest->to.x - longest->from.x) / longest_mm;
    const double dy = (longest->to.y - longest->from.y) / longest_mm;
    const double across = (line.to.x - line.from.x) * dy - (line.to.y - line.from.y) * dx;
    if (std::abs(across) > parallel_ratio * length_mm) continue;
    const PlanePoint middle{(line.from.x + line.to.x) / 2, (line.from.y + line.to.y) / 2};
    offsets.push_back(cross(longest->from, longest->to, middle) / longest_mm);
    parallel_mm += length_mm;
  }
  if (offsets.size() < hatch_lines || parallel_mm < hatch_share * all_mm) return false;
  std::sort(offsets.begin(), offsets.end());
  const double step_mm = (offsets.back() - offsets.front()) / static_cast<double>(offsets.size() - 1);
  for (std::size_t i = 1; i < offsets.size(); ++i)
    if (std::abs(offsets[i] - offsets[i - 1] - step_mm) > hatch_step_ratio * step_mm) return false;
  return true;
}

GlyphBuild build_of(const GlyphPiece& piece, const GlyphShape& shape) {
  const bool slender = shape.width_mm <= thickest_stroke_ratio * shape.size_mm &&
                       shape.stroke_mm >= shortest_stroke_ratio * shape.width_mm;
  if (!slender || is_hatching(piece, shape.size_mm)) return GlyphBuild::solid;
  if (shape.narrow_mm <= bar_ratio * shape.width_mm) return GlyphBuild::bar;
  return is_ring(piece, shape) ? GlyphBuild::ring : GlyphBuild::figure;
}

/// Centre of area, or of the corners where there is none.
PlanePoint middle_of(const std::vector<PlanePoint>& hull) {
  double twice_area = 0;
  PlanePoint sum;
  PlanePoint corners;
  for (std::size_t i = 0; i < hull.size(); ++i) {
    const PlanePoint b = hull[i];
    const PlanePoint c = hull[after(hull, i)];
    const double twice = cross(hull[0], b, c);
    twice_area += twice;
    sum = {sum.x + twice * (hull[0].x + b.x + c.x) / 3, sum.y + twice * (hull[0].y + b.y + c.y) / 3};
    corners = {corners.x + b.x, corners.y + b.y};
  }
  if (twice_area > 1e-9) return {sum.x / twice_area, sum.y / twice_area};
  const double count = static_cast<double>(hull.size());
  return {corners.x / count, corners.y / count};
}

}  // namespace

GlyphShape shape_of(const GlyphPiece& piece) {
  GlyphShape shape;
  shape.margin_mm = piece.margin_mm;
  shape.width_mm = piece.width_mm;
  shape.stroke_mm = piece.stroke_mm;
  shape.hole = piece.hole;
  if (piece.lines.empty()) return shape;
  shape.hull = convex_hull(ends_of(piece.lines));
  shape.size_mm = diameter_mm(shape.hull) + 2 * shape.margin_mm;
  if (shape.size_mm > largest_piece_mm || shape.size_mm <= 0) {
    shape.hull.clear();
    return shape;
  }
  thin_out(shape.hull, hull_error_ratio * shape.size_mm);
  shape.narrow_mm = least_extent_mm(shape.hull) + 2 * shape.margin_mm;
  shape.middle = middle_of(shape.hull);
  shape.build = build_of(piece, shape);
  return shape;
}

void measure_form(const GlyphPiece& piece, GlyphShape& shape) {
  Eigen::Vector2d sum = Eigen::Vector2d::Zero();
  Eigen::Matrix2d squares = Eigen::Matrix2d::Zero();
  double length = 0;
  double far = 0;
  along_lines(piece.lines, sample_ratio * shape.size_mm, [&](PlanePoint place, double length_mm) {
    const Eigen::Vector2d at(place.x - shape.middle.x, place.y - shape.middle.y);
    sum += length_mm * at;
    squares += length_mm * at * at.transpose();
    far += length_mm * at.norm();
    length += length_mm;
  });
  if (length <= 0) return;
  const Eigen::Vector2d mean = sum / length;
  const Eigen::Matrix2d scatter = squares / length - mean * mean.transpose();
  const Eigen::Vector2d principal = Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d>(scatter).eigenvalues();
  const double size = shape.size_mm;
  shape.form = {shape.stroke_mm / size / 4,  // letters have strokes of about four times their size at most
                shape.narrow_mm / size,
                std::sqrt(std::max(0.0, principal[1])) / size,
                std::sqrt(std::max(0.0, principal[0])) / size,
                area_mm2(shape.hull) / (size * size),
                mean.norm() / size,
                far / length / size};
}

bool alike(const GlyphShape& a, const GlyphShape& b) {
  if (a.build != b.build) return false;
  if (std::abs(a.size_mm - b.size_mm) > copy_size_ratio * std::max(a.size_mm, b.size_mm)) return false;
  for (std::size_t i = 0; i < a.form.size(); ++i)
    if (std::abs(a.form[i] - b.form[i]) > copy_form_difference) return false;
  return true;
}

}  // namespace beadwise
