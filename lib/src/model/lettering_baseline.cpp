#include "model/lettering_baseline.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace beadwise {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double largest_radius_mm = 2000;  // no plate shows the bend of more

/// Up at a place.
Eigen::Vector2d up_at(const Baseline& line, PlanePoint place) {
  if (!line.curved()) return {-line.way.y, line.way.x};
  const Eigen::Vector2d out(place.x - line.origin.x, place.y - line.origin.y);
  const double norm = out.norm();
  if (norm < 1e-9) return {0, 1};
  return (line.outside ? 1 : -1) / norm * out;
}

Baseline circle_around(PlanePoint center, double radius_mm, PlanePoint place, const Baseline& like) {
  const Eigen::Vector2d out(place.x - center.x, place.y - center.y);
  const Eigen::Vector2d way = out.norm() > 0 ? out.normalized() : Eigen::Vector2d(1, 0);
  return {center, {way.x(), way.y()}, radius_mm, out.dot(up_at(like, place)) > 0};
}

}  // namespace

PlanePoint Baseline::place(double along_mm, double high_mm) const {
  if (!curved()) return {origin.x + along_mm * way.x - high_mm * way.y, origin.y + along_mm * way.y + high_mm * way.x};
  const double turn = (outside ? -along_mm : along_mm) / radius_mm;
  const double radius = radius_mm + (outside ? high_mm : -high_mm);
  const double x = std::cos(turn);
  const double y = std::sin(turn);
  return {origin.x + radius * (x * way.x - y * way.y), origin.y + radius * (x * way.y + y * way.x)};
}

double Baseline::angle_at(double along_mm) const {
  const double start = std::atan2(way.y, way.x);
  if (!curved()) return start;
  const double turn = start + (outside ? -along_mm : along_mm) / radius_mm;
  return outside ? turn - pi / 2 : turn + pi / 2;
}

Stand stand_on(const Baseline& line, const GlyphShape& shape, std::uint32_t piece) {
  const Eigen::Vector2d up = up_at(line, shape.middle);
  const Eigen::Vector2d way(up.y(), -up.x());
  const Eigen::Vector2d from_origin(shape.middle.x - line.origin.x, shape.middle.y - line.origin.y);
  Stand stand;
  stand.piece = piece;
  double across = from_origin.dot(up);
  if (!line.curved()) {
    stand.along_mm = from_origin.dot(way);
  } else {
    across = line.outside ? from_origin.norm() - line.radius_mm : line.radius_mm - from_origin.norm();
    const double turn = std::atan2(line.way.x * from_origin.y() - line.way.y * from_origin.x(),
                                   line.way.x * from_origin.x() + line.way.y * from_origin.y());
    stand.along_mm = line.radius_mm * (line.outside ? -turn : turn);
  }
  double from = 0, to = 0, low = 0, high = 0;
  for (const PlanePoint corner : shape.hull) {
    const Eigen::Vector2d at(corner.x - shape.middle.x, corner.y - shape.middle.y);
    const double u = at.dot(way);
    const double v = at.dot(up);
    from = std::min(from, u);
    to = std::max(to, u);
    low = std::min(low, v);
    high = std::max(high, v);
  }
  stand.from_mm = stand.along_mm + from - shape.margin_mm;
  stand.to_mm = stand.along_mm + to + shape.margin_mm;
  stand.low_mm = across + low - shape.margin_mm;
  stand.high_mm = across + high + shape.margin_mm;
  return stand;
}

Baseline straight_from(PlanePoint a, PlanePoint b) {
  const double length_mm = std::hypot(b.x - a.x, b.y - a.y);
  if (length_mm <= 0) return {a, {1, 0}, 0, true};
  return {a, {(b.x - a.x) / length_mm, (b.y - a.y) / length_mm}, 0, true};
}

Baseline straight_through(const std::vector<PlanePoint>& places, const Baseline& like) {
  if (places.empty()) return like;
  Eigen::Vector2d mean = Eigen::Vector2d::Zero();
  for (const PlanePoint place : places) mean += Eigen::Vector2d(place.x, place.y);
  mean /= static_cast<double>(places.size());
  Eigen::Matrix2d scatter = Eigen::Matrix2d::Zero();
  for (const PlanePoint place : places) {
    const Eigen::Vector2d at = Eigen::Vector2d(place.x, place.y) - mean;
    scatter += at * at.transpose();
  }
  Eigen::Vector2d way = Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d>(scatter).eigenvectors().col(1);
  const PlanePoint middle{mean.x(), mean.y()};
  const Eigen::Vector2d up = up_at(like, middle);
  if (way.x() * up.y() - way.y() * up.x() < 0) way = -way;
  return {middle, {way.x(), way.y()}, 0, true};
}

/// Algebraic least squares, x² + y² + a x + b y + c = 0, from the mean (Kåsa 1976, doi 10.1109/TIM.1976.6312298).
Baseline circle_through(const std::vector<PlanePoint>& places, const Baseline& like) {
  const Baseline straight = straight_through(places, like);
  if (places.size() < 3) return straight;
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Vector3d right = Eigen::Vector3d::Zero();
  for (const PlanePoint place : places) {
    const double x = place.x - straight.origin.x;
    const double y = place.y - straight.origin.y;
    const Eigen::Vector3d row(x, y, 1);
    normal += row * row.transpose();
    right -= (x * x + y * y) * row;
  }
  const Eigen::FullPivLU<Eigen::Matrix3d> solver(normal);
  if (!solver.isInvertible()) return straight;
  const Eigen::Vector3d answer = solver.solve(right);
  const Eigen::Vector2d center = -0.5 * answer.head<2>();
  const double squared = center.squaredNorm() - answer[2];
  if (!(squared > 0) || squared > largest_radius_mm * largest_radius_mm) return straight;
  return circle_around({straight.origin.x + center.x(), straight.origin.y + center.y()}, std::sqrt(squared),
                       places[places.size() / 2], like);
}

std::optional<Baseline> circle_of(const std::array<PlanePoint, 3>& places, const Baseline& like) {
  const double bx = places[1].x - places[0].x;
  const double by = places[1].y - places[0].y;
  const double cx = places[2].x - places[0].x;
  const double cy = places[2].y - places[0].y;
  const double twice = 2 * (bx * cy - by * cx);
  if (std::abs(twice) < 1e-9) return std::nullopt;
  const double b2 = bx * bx + by * by;
  const double c2 = cx * cx + cy * cy;
  const double x = (cy * b2 - by * c2) / twice;
  const double y = (bx * c2 - cx * b2) / twice;
  const double radius_mm = std::hypot(x, y);
  if (radius_mm > largest_radius_mm) return std::nullopt;
  return circle_around({places[0].x + x, places[0].y + y}, radius_mm, places[1], like);
}

}  // namespace beadwise
