#include "model/plane.hpp"

namespace beadwise {

namespace {

constexpr double nearly_zero = 1e-15;

/// Narrows [from, to] to where low <= start + t * slope <= high; whether anything is left.
bool clip(double start, double slope, double low, double high, double& from, double& to) {
  if (std::abs(slope) < nearly_zero) return start >= low && start <= high;
  double first = (low - start) / slope;
  double last = (high - start) / slope;
  if (first > last) std::swap(first, last);
  from = std::max(from, first);
  to = std::min(to, last);
  return from <= to;
}

/// Widens [from, to] by the part of the segment that starts at (u, v) with direction (du, dv) inside a disc at the
/// origin.
void add_disc(double u, double v, double du, double dv, double reach_mm, double& from, double& to) {
  const double a = du * du + dv * dv;
  const double b = u * du + v * dv;
  const double c = u * u + v * v - reach_mm * reach_mm;
  if (a < nearly_zero) {
    if (c > 0) return;
    from = 0;
    to = 1;
    return;
  }
  const double root = b * b - a * c;
  if (root < 0) return;
  const double half = std::sqrt(root);
  const double first = std::max(0.0, (-b - half) / a);
  const double last = std::min(1.0, (-b + half) / a);
  if (first > last) return;
  from = std::min(from, first);
  to = std::max(to, last);
}

}  // namespace

double squared_distance_mm2(PlanePoint place, PlanePoint a, PlanePoint b) {
  const double dx = b.x - a.x;
  const double dy = b.y - a.y;
  const double length2 = dx * dx + dy * dy;
  double t = length2 > nearly_zero ? ((place.x - a.x) * dx + (place.y - a.y) * dy) / length2 : 0;
  t = std::clamp(t, 0.0, 1.0);
  const double ex = place.x - a.x - t * dx;
  const double ey = place.y - a.y - t * dy;
  return ex * ex + ey * ey;
}

double squared_distance_mm2(PlanePoint a, PlanePoint b, PlanePoint c, PlanePoint d) {
  const bool parted = (cross(a, b, c) > 0) != (cross(a, b, d) > 0) && (cross(c, d, a) > 0) != (cross(c, d, b) > 0);
  if (parted) return 0;
  return std::min({squared_distance_mm2(a, c, d), squared_distance_mm2(b, c, d), squared_distance_mm2(c, a, b),
                   squared_distance_mm2(d, a, b)});
}

std::optional<Span> part_within(PlanePoint a, PlanePoint b, PlanePoint p, PlanePoint q, double reach_mm) {
  if (!boxes_within(a, b, p, q, reach_mm)) return std::nullopt;
  const double length_mm = distance_mm(p, q);
  double ux = 1;
  double uy = 0;
  if (length_mm > 1e-9) {
    ux = (q.x - p.x) / length_mm;
    uy = (q.y - p.y) / length_mm;
  }
  // u along the piece, v across it.
  const double u = (a.x - p.x) * ux + (a.y - p.y) * uy;
  const double v = (a.y - p.y) * ux - (a.x - p.x) * uy;
  const double du = (b.x - a.x) * ux + (b.y - a.y) * uy;
  const double dv = (b.y - a.y) * ux - (b.x - a.x) * uy;
  double from = 0;
  double to = 1;
  if (!clip(v, dv, -reach_mm, reach_mm, from, to)) return std::nullopt;
  if (!clip(u, du, -reach_mm, length_mm + reach_mm, from, to)) return std::nullopt;
  const double u_from = u + from * du;
  const double u_to = u + to * du;
  if (std::min(u_from, u_to) >= 0 && std::max(u_from, u_to) <= length_mm) return Span{from, to};
  double first = 2;
  double last = -1;
  double inner_from = from;
  double inner_to = to;
  if (clip(u, du, 0, length_mm, inner_from, inner_to)) {
    first = inner_from;
    last = inner_to;
  }
  add_disc(u, v, du, dv, reach_mm, first, last);
  add_disc(u - length_mm, v, du, dv, reach_mm, first, last);
  if (first > last) return std::nullopt;
  return Span{first, last};
}

}  // namespace beadwise
