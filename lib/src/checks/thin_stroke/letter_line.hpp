#pragma once

#include <cstdint>
#include <limits>
#include <vector>

#include "beadwise/finding.hpp"
#include "checks/thin_stroke/limits.hpp"
#include "model/laid_strokes.hpp"
#include "model/lettering_measure.hpp"

namespace beadwise::checks::thin_stroke {

/// What of one line of lettering the nozzle cannot lay as commanded, on one layer.
struct Unlaid {
  std::uint32_t strokes = 0;  ///< all that show
  std::uint32_t blobs = 0;    ///< shorter than they are wide
  double shortest_mm = 1e300;
  double shortest_width_mm = 0;
  std::uint32_t unmetered = 0;  ///< take less filament than the drive meters
  double least_feed_mm = 1e300;
  std::vector<LaidStroke> lost;  ///< all of both
  std::vector<WidthStep> steps;
};

/// Ways from glyph to glyph of one line of lettering.
struct GlyphPassages {
  std::uint64_t all = 0;
  std::uint64_t pulled_back = 0;
  std::uint64_t low = 0;      ///< without lift
  std::uint64_t dragged = 0;  ///< in contact over beads that they neither leave nor go to
  std::uint64_t open = 0;     ///< through open air without enough pulled back
  double laid_mm = 0;         ///< filament of the line's beads
};

/// What is wrong with a line of lettering, the worst last: what its places and its picture show.
enum class Fault : std::uint8_t { none, steps, lost, fine };

/// One line of lettering, through all its layers.
struct Lettering {
  LetteringLine line;  ///< as on the layer with most glyphs
  bool hole = false;
  Box box;
  std::uint32_t layers = 0;
  std::uint32_t first_layer = 0;
  std::uint32_t last_layer = 0;
  double layer_height_mm = 0;
  MeasuredPlace narrowest;
  double edge_mm = 0;
  double thin_edge_mm = 0;
  MeasuredPlace gap;
  std::uint32_t closing_gaps = 0;  ///< on the layer with most
  std::uint32_t broken = 0;        ///< likewise
  double bead_mm = 0;              ///< widest that bounds the narrowest gap
  Unlaid lost;                     ///< of the layer with most lost strokes
  Unlaid stepped;                  ///< of the layer with most width steps
  GlyphPassages passages;
  double nozzle_c = std::numeric_limits<double>::quiet_NaN();    ///< the hottest that its beads are laid at
  double residence_s = std::numeric_limits<double>::infinity();  ///< the shortest of its layers
  double flow_mm3_per_s = 0;                                     ///< the most that beads of its layers ask for
  Fault fault = Fault::none;
  double worst = -1;  ///< value of the place that its picture shows
  Places places;
  std::vector<Mark> marks;

  double per_glyph(double count) const { return count / static_cast<double>(line.glyphs); }
  double lost_per_glyph() const { return per_glyph(static_cast<double>(lost.lost.size())); }
  double steps_per_glyph() const { return per_glyph(static_cast<double>(stepped.steps.size())); }
  bool is_thin(const Limits& limits) const { return narrowest.mm < limits.stroke_mm(); }
};

}  // namespace beadwise::checks::thin_stroke
