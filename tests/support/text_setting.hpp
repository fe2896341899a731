#pragma once

#include <functional>
#include <string_view>
#include <vector>

#include "support/regions.hpp"

namespace beadwise::tests {

/// How lines of text stand on the plate.
struct TextSetting {
  PlanePoint at;                ///< start of the first base line; the centre of the circle
  double angle_deg = 0;         ///< of the base line; on a circle, of the middle of the text from the centre, less 90
  bool mirrored = false;        ///< as for a stamp: runs to the left
  double circle_radius_mm = 0;  ///< of the first base line, letters outside it; straight for 0
  double line_pitch_mm = 0;     ///< from base line to base line
  double letter_gap_mm = 0;     ///< added between letters
};

/// Where a glyph stands: maps places of its own, base line at y = 0, onto the plate. Lengths stay as they are.
class Placement {
 public:
  Placement(PlanePoint origin, double angle_rad, bool mirrored);
  PlanePoint operator()(PlanePoint place) const;
  Region operator()(Region region) const;

 private:
  PlanePoint origin_;
  double cosine_;
  double sine_;
  double sideways_;
};

struct PlacedGlyph {
  char character = ' ';
  std::size_t line = 0;
  Placement placement;
};

/// Every character of a text but blanks; lines end in '\n'. `advance_mm` says how wide a character is.
std::vector<PlacedGlyph> set_text(std::string_view text, const std::function<double(char)>& advance_mm,
                                  const TextSetting& setting);

}  // namespace beadwise::tests
