#pragma once

#include <optional>
#include <string_view>

#include "beadwise/move.hpp"

namespace beadwise {

/// What an arc command says, in absolute mm.
struct ArcCommand {
  Point from_mm;
  Point to_mm;
  double i_mm = 0;  ///< offsets of the centre from the current point
  double j_mm = 0;
  double k_mm = 0;
  double r_mm = 0;
  bool has_offset = false;  ///< at least one of the two offsets that the plane uses
  bool has_radius = false;
  bool has_end_point = false;  ///< at least one of the two axes of the plane is named
  bool clockwise = false;      ///< G2
  std::uint8_t plane = 17;
};

/// The arc and its length, or why it cannot be.
struct ArcSolution {
  Arc arc;
  double path_mm = 0;
  std::string_view trouble;  ///< empty for an arc that can be
};

/// The start and end radius of an arc in centre form may differ by this much: files round to three decimals.
inline constexpr double arc_radius_tolerance_mm = 0.05;

/// Centre form and radius form, in all three planes, with a climb along the third axis.
/// NISTIR 6556, section 3.5.3; a centre form without an end point is a full turn, as printers read it.
ArcSolution solve_arc(const ArcCommand& command);

/// The point of an arc after the given share (0 to 1) of it.
Point point_on_arc(const Arc& arc, const Point& from, const Point& to, double share);

/// Unit vector along the arc after the given share of it.
std::array<double, 3> direction_on_arc(const Arc& arc, double path_mm, double climb_mm, double share);

}  // namespace beadwise
