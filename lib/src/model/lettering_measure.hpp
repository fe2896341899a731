#pragma once

#include <cstdint>
#include <vector>

#include "model/glyph_pieces.hpp"
#include "model/indexed_layer.hpp"
#include "model/strokes.hpp"

namespace beadwise {

/// A measured length and where.
struct MeasuredPlace {
  double mm = 1e300;
  PlanePoint at;
  std::uint32_t bead = 0;
};

/// One line of lettering on one layer, measured.
struct LetteringMeasure {
  /// Strokes are no wider than this over at least `LetteringLimits::least_length_mm` of edge; infinite where none of
  /// that length is narrower than asked.
  MeasuredPlace narrowest_stroke;
  double stroke_edge_mm = 0;    ///< of edge whose stroke was measured
  double thin_edge_mm = 0;      ///< of it, with a stroke narrower than asked
  MeasuredPlace narrowest_gap;  ///< of those that close
  std::uint32_t closing_gaps = 0;
  double closing_gap_mm = 0;  ///< length of them
  std::uint32_t broken = 0;   ///< strokes that end in the open, tapered to the thinnest bead that was laid
};

/// What counts as too narrow.
struct LetteringLimits {
  double stroke_mm = 0.3;
  double least_length_mm = 0.3;  ///< shorter necks are corners and ends of beads, not strokes
  double gap_beads = 1;
};

/// Measures lines of lettering on a layer.
class LetteringMeter {
 public:
  /// One measure for each line. Time in proportion to the beads of the layer, whatever the number of lines.
  std::vector<LetteringMeasure> measure(const IndexedLayer& layer, const GlyphPieces& pieces,
                                        const std::vector<LetteringLine>& lines, const LetteringLimits& limits);

  /// The line that a bead of the layer last measured belongs to, -1 where it belongs to none.
  std::int32_t line_of(const IndexedLayer& layer, std::uint32_t bead) const { return line_of_[layer.track_of[bead]]; }

 private:
  void choose_tracks(const IndexedLayer& layer, const GlyphPieces& pieces, const std::vector<LetteringLine>& lines);

  struct ThinStretch {
    MeasuredPlace width;
    double length_mm = 0;
    std::size_t line = 0;
  };
  void measure_stroke(const EdgeSample& sample, bool hole, std::size_t line, const LetteringLimits& limits,
                      LetteringMeasure& measure);
  void find_narrowest(double least_length_mm, std::vector<LetteringMeasure>& measures);

  StrokeMeter meter_;
  std::vector<ThinStretch> thin_;
  std::vector<std::int32_t> line_of_;  ///< by track
};

}  // namespace beadwise
