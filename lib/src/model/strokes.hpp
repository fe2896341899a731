#pragma once

#include <cstdint>
#include <vector>

#include "model/indexed_layer.hpp"

namespace beadwise {

/// A stretch of the edge of what is printed, with the region's thickness behind it and the opening in front of it.
struct EdgeSample {
  PlanePoint at;
  PlanePoint inward;         ///< of length 1, into what is printed
  double length_mm = 0;      ///< of edge that it stands for
  double thickness_mm = 0;   ///< to the opposite side; infinite where none is within reach or it is no stroke there
  double gap_mm = 0;         ///< to the opposite side of the opening in front; infinite likewise
  std::uint32_t bead = 0;    ///< whose edge it is
  std::uint32_t across = 0;  ///< whose edge bounds `gap_mm`
  std::uint32_t run = 0;     ///< samples of one run follow each other along one edge
};

/// How strokes are looked at.
struct StrokeReach {
  double thickest_mm = 6;  ///< thicker regions are no strokes
  double widest_gap_mm = 1.5;
  double step_mm = 0.2;  ///< between samples
};

/// Measures the thickness of printed regions on their footprints: at a place of the edge the diameter of the largest
/// disc inside the region that touches the place, where it touches the opposite side too (its two contacts at least
/// 150 degrees apart seen from its middle; Blum 1967, the medial axis). A stroke laid as one bead has that bead's
/// width.
///
/// Edges are the free sides of loops and, outside them, the sides of open strokes; what a neighbour covers, or misses
/// by less than the share by which beads still count as connected, is no edge.
class StrokeMeter {
 public:
  /// Looks at the edges of the tracks for which `wanted[track]` is set; `samples()` holds them afterwards.
  void measure(const IndexedLayer& layer, const std::vector<bool>& wanted, const StrokeReach& reach);

  const std::vector<EdgeSample>& samples() const { return samples_; }

 private:
  struct Edge {
    PlanePoint from;
    PlanePoint to;
    PlanePoint inward;
    double half_mm = 0;  ///< of its bead's width
    std::uint32_t bead = 0;
    std::uint32_t run = 0;
    bool cut_from = false;  ///< ends there because another bead covers what follows
    bool cut_to = false;
  };
  struct Contact {
    double radius_mm = 0;
    std::uint32_t bead = 0;
    bool opposite = false;
  };

  void find_edges(const IndexedLayer& layer, const std::vector<bool>& wanted);
  void add_sides(const IndexedLayer& layer, std::uint32_t first_bead, std::uint32_t beads, bool left, bool right,
                 bool outside_only);
  void add_arc(const IndexedLayer& layer, std::size_t piece, double sign, double sweep_rad, bool at_end,
               bool outside_only);
  void add_ends(const IndexedLayer& layer, std::size_t piece, const Footprint* before, const Footprint* next,
                double sign, bool outside_only);
  void add_free_parts(const IndexedLayer& layer, std::size_t piece, const Edge& edge, bool outside_only);
  void lay_grid();
  void close_slits(const IndexedLayer& layer);
  Contact largest_disc(const Edge& own, PlanePoint at, PlanePoint way, double widest_mm, bool at_corner) const;
  /// Calls `visit(const Edge&)` for the edges in the cells around a place.
  template <class Visit>
  void near_edges(PlanePoint at, Visit&& visit) const;
  void measure_corner(const Edge& edge, bool at_end, const StrokeReach& reach);

  std::vector<Edge> edges_;
  std::vector<double> passed_mm_;       ///< of each footprint: how far along its run of beads it begins
  std::vector<std::uint32_t> loop_of_;  ///< of each bead: its loop or open track, by its first bead
  std::vector<Covered> covered_;
  std::vector<std::uint32_t> starts_;
  std::vector<std::uint32_t> entries_;
  PlanePoint low_;
  int columns_ = 0;
  int rows_ = 0;
  std::vector<EdgeSample> samples_;
};

}  // namespace beadwise
