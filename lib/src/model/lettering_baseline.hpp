#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "model/lettering_shape.hpp"

namespace beadwise {

/// The line on which letters stand: straight, or a circle on whose outside or inside they stand.
struct Baseline {
  PlanePoint origin;     ///< a place on it; of a circle, its centre
  PlanePoint way{1, 0};  ///< of a straight one, of length 1, with up to the left; of a circle: from the centre to where
                         ///< its length counts from
  double radius_mm = 0;  ///< 0 where it is straight
  bool outside = true;   ///< of a circle: up leads away from the centre

  bool curved() const { return radius_mm > 0; }
  /// A place from its length along and its height over the line.
  PlanePoint place(double along_mm, double high_mm) const;
  /// The way of the line at a length along it, against X.
  double angle_at(double along_mm) const;
};

/// How a piece stands on a line: its extents along and across.
struct Stand {
  std::uint32_t piece = 0;
  double along_mm = 0;  ///< of its middle
  double from_mm = 0;
  double to_mm = 0;
  double low_mm = 0;
  double high_mm = 0;

  double height_mm() const { return high_mm - low_mm; }
};

/// Pieces on a circle are turned as it turns: each is measured in the direction of the circle at its middle.
Stand stand_on(const Baseline& line, const GlyphShape& shape, std::uint32_t piece);

/// The straight line that lies closest to all places, running as `like` does; through their principal axis.
Baseline straight_through(const std::vector<PlanePoint>& places, const Baseline& like);

/// The circle that lies closest to all places, with up on the side where it is for `like` at the middle place; straight
/// where they bend too little to tell.
Baseline circle_through(const std::vector<PlanePoint>& places, const Baseline& like);

/// The circle through three places, with up on the side where it is for `like` at the middle one; none where they lie
/// all but in line.
std::optional<Baseline> circle_of(const std::array<PlanePoint, 3>& places, const Baseline& like);

/// Up to the left of the way from `a` to `b`.
Baseline straight_from(PlanePoint a, PlanePoint b);

}  // namespace beadwise
