#pragma once

#include <string>
#include <vector>

#include "support/letter_maker.hpp"

namespace beadwise::tests {

/// What one tool lays in one layer.
struct ToolTracks {
  int tool = 0;
  std::vector<LaidTrack> tracks;
};

struct LaidLayer {
  double height_mm = 0.2;
  std::vector<ToolTracks> tools;
};

/// How a print of letters is written down.
struct LetterWriting {
  double filament_diameter_mm = 1.75;
  double bead_mm_per_s = 30;
  double travel_mm_per_s = 150;
  double retraction_mm = 0.8;
  /// A travel shorter than this is made without pulling back.
  double least_retracted_mm = 1;
  double lift_mm = 0;
  bool comments = true;  ///< of what is being laid, in trade words
};

/// G-code of layers one above the other, relative E, each bead as wide as it was laid: 210 °C, 60 °C.
std::string letter_gcode(const std::vector<LaidLayer>& layers, const LetterWriting& writing = {});

}  // namespace beadwise::tests
