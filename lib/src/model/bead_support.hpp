#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "model/layer_stack.hpp"

namespace beadwise {

/// A place on a bead, and how much of the bead's width is carried there.
struct SupportStation {
  PlanePoint at;
  PlanePoint across;     ///< unit vector, square to the bead
  double length_mm = 0;  ///< of the bead for which it stands
  double width_mm = 0;
  double share = 0;  ///< supported share f, 0 to 1
};

/// How the beads of a layer lie on what is below it.
///
/// The supported share f of a bead's width is the covered share of the line of length w that crosses the bead at right
/// angles: between two straight walls that are s apart, f = 1 − s/w, with s = h tan θ for a wall that leans by θ
/// (derived geometry). The plate carries everything.
class BeadSupport {
 public:
  /// Stations along a bead are at most so far apart; every straight piece has one at least.
  static constexpr double station_mm = 0.5;
  /// The same where the question is only whether anything carries: nothing that short sags.
  static constexpr double coarse_station_mm = 1;

  /// Questions are about this layer from now on. The stack must outlive them.
  void look_at(const LayerStack& stack);

  /// Whether the middle line lies on something all along. Where it does, half of the width does.
  bool carried_along(const Footprint& piece);
  /// The same for what only matters where it goes on: no part of the piece longer than `shortest_mm` is bare, nor one
  /// of half of it at an end. Looks at the cells of half a millimetre in which printed heights are kept.
  bool mostly_carried_along(const Footprint& piece, double shortest_mm) const;
  /// Whether something carries a place, or lies within `margin_mm` of it.
  bool carries(PlanePoint place, double margin_mm = 0) const;

  /// Covered share of a line of length `width_mm` through a place in the direction `across`.
  double share_across(PlanePoint place, PlanePoint across, double width_mm);
  /// The stations of a straight piece of bead, in order; added to `into`.
  void add_stations(const Footprint& piece, std::vector<SupportStation>& into);
  /// Mean of f over a bead of the layer.
  double supported_share(std::uint32_t bead);

  /// The parts of a piece's middle line that are farther than `margin_mm` from everything that carries, in order;
  /// `into` is cleared before.
  void bare_parts(const Footprint& piece, double margin_mm, std::vector<Span>& into);

  /// What carries nearest to a place, no farther than `most_mm`.
  struct Nearest {
    double distance_mm = 0;  ///< to its edge; `most_mm` where nothing carries up to there
    PlanePoint middle;       ///< the place on its middle line that is nearest
  };
  Nearest nearest(PlanePoint place, double most_mm) const;
  double distance_mm(PlanePoint place, double most_mm) const { return nearest(place, most_mm).distance_mm; }
  /// The same along a straight line, to a cell of half a millimetre.
  double distance_along_mm(PlanePoint place, PlanePoint direction, double most_mm) const;
  /// Whether a place lies inside the outline of a layer below.
  bool inside_below(PlanePoint place) const;

 private:
  /// A piece that carries a place, one that carries `towards` as well rather than another; null where nothing does.
  const Footprint* carrier_of(PlanePoint place, PlanePoint towards);
  const Footprint* known_carrier(PlanePoint place, PlanePoint towards);
  bool carried_in_leaps(PlanePoint from, PlanePoint to);
  bool seems_carried(PlanePoint place) const;
  void cover(PlanePoint a, PlanePoint b, double margin_mm);

  const LayerStack* stack_ = nullptr;
  bool on_plate_ = true;
  double lowest_top_mm_ = 0;  ///< of the layers below
  /// The piece right below that carried the last place: it mostly carries the next one, too.
  const Footprint* carrier_ = nullptr;
  std::ptrdiff_t stride_ = 1;  ///< the way in which the pieces below come
  PlanePoint last_end_;        ///< of the piece asked last
  bool last_carried_ = false;  ///< all of it
  std::vector<Span> covered_;  ///< by all layers below, in order of their start
};

}  // namespace beadwise
