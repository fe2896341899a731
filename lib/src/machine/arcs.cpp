#include "machine/arcs.hpp"

#include <cmath>
#include <numbers>

namespace beadwise {

namespace {

struct Flat {
  double u = 0;
  double v = 0;
  double w = 0;
};

// The axes of a plane in right-handed order: XY, ZX, YZ (NISTIR 6556, section 3.5.3).
Flat in_plane(const Point& point, std::uint8_t plane) {
  if (plane == 18) return {point.z, point.x, point.y};
  if (plane == 19) return {point.y, point.z, point.x};
  return {point.x, point.y, point.z};
}

Point out_of_plane(const Flat& flat, std::uint8_t plane) {
  if (plane == 18) return {flat.v, flat.w, flat.u};
  if (plane == 19) return {flat.w, flat.u, flat.v};
  return {flat.u, flat.v, flat.w};
}

ArcSolution solve_center(const ArcCommand& command, const Flat& from, const Flat& to) {
  const Flat offset = in_plane({command.i_mm, command.j_mm, command.k_mm}, command.plane);
  ArcSolution solution;
  solution.arc.center_mm = {from.u + offset.u, from.v + offset.v};
  const double start_radius = std::hypot(offset.u, offset.v);
  const double end_radius = std::hypot(to.u - solution.arc.center_mm[0], to.v - solution.arc.center_mm[1]);
  if (start_radius <= 0) {
    solution.trouble = "its centre is its start";
    return solution;
  }
  if (std::abs(start_radius - end_radius) > arc_radius_tolerance_mm) {
    solution.trouble = "its start and its end are not equally far from its centre";
    return solution;
  }
  solution.arc.radius_mm = (start_radius + end_radius) / 2;
  return solution;
}

ArcSolution solve_radius(const ArcCommand& command, const Flat& from, const Flat& to) {
  ArcSolution solution;
  const double du = to.u - from.u;
  const double dv = to.v - from.v;
  const double chord = std::hypot(du, dv);
  const double radius = std::abs(command.r_mm);
  if (!command.has_end_point || chord <= 1e-9) {
    solution.trouble = "an arc given by its radius needs an end point that differs from its start";
    return solution;
  }
  if (chord / 2 - radius > arc_radius_tolerance_mm) {
    solution.trouble = "its radius is too small to reach its end";
    return solution;
  }
  const double height = std::sqrt(std::max(0.0, radius * radius - chord * chord / 4));
  // The centre lies left of the chord for a short arc against the clock and for a long one with it.
  const double side = (command.clockwise ? -1.0 : 1.0) * (command.r_mm < 0 ? -1.0 : 1.0);
  solution.arc.center_mm = {from.u + du / 2 - side * height * dv / chord, from.v + dv / 2 + side * height * du / chord};
  solution.arc.radius_mm = std::max(radius, chord / 2);
  return solution;
}

double sweep_of(const ArcCommand& command, double start_rad, double end_rad, bool closed) {
  constexpr double turn = 2 * std::numbers::pi;
  if (closed) return command.clockwise ? -turn : turn;
  double sweep = end_rad - start_rad;
  if (command.clockwise) {
    while (sweep >= 0) sweep -= turn;
  } else {
    while (sweep <= 0) sweep += turn;
  }
  return sweep;
}

}  // namespace

ArcSolution solve_arc(const ArcCommand& command) {
  const Flat from = in_plane(command.from_mm, command.plane);
  const Flat to = in_plane(command.to_mm, command.plane);
  if (!command.has_radius && !command.has_offset) return {{}, 0, "it has neither a centre nor a radius"};
  ArcSolution solution = command.has_radius ? solve_radius(command, from, to) : solve_center(command, from, to);
  if (!solution.trouble.empty()) return solution;

  Arc& arc = solution.arc;
  arc.plane = command.plane;
  arc.start_rad = std::atan2(from.v - arc.center_mm[1], from.u - arc.center_mm[0]);
  const double end_rad = std::atan2(to.v - arc.center_mm[1], to.u - arc.center_mm[0]);
  // A place written with six decimals of a millimetre is the same place.
  const bool closed = std::hypot(to.u - from.u, to.v - from.v) < 1e-6;
  arc.sweep_rad = sweep_of(command, arc.start_rad, end_rad, closed);
  solution.path_mm = std::hypot(arc.radius_mm * arc.sweep_rad, to.w - from.w);
  return solution;
}

Point point_on_arc(const Arc& arc, const Point& from, const Point& to, double share) {
  const double angle = arc.start_rad + share * arc.sweep_rad;
  const double climb_from = in_plane(from, arc.plane).w;
  const double climb_to = in_plane(to, arc.plane).w;
  return out_of_plane(
      {arc.center_mm[0] + arc.radius_mm * std::cos(angle), arc.center_mm[1] + arc.radius_mm * std::sin(angle),
       climb_from + share * (climb_to - climb_from)},
      arc.plane);
}

std::array<double, 3> direction_on_arc(const Arc& arc, double path_mm, double climb_mm, double share) {
  const double angle = arc.start_rad + share * arc.sweep_rad;
  const double along = arc.radius_mm * arc.sweep_rad / path_mm;
  const Point unit = out_of_plane({-std::sin(angle) * along, std::cos(angle) * along, climb_mm / path_mm}, arc.plane);
  return {unit.x, unit.y, unit.z};
}

}  // namespace beadwise
