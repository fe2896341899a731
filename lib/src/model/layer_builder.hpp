#pragma once

#include <functional>
#include <vector>

#include "base/weighted_quantile.hpp"
#include "beadwise/bead.hpp"
#include "beadwise/profile.hpp"
#include "model/top_heights.hpp"

namespace beadwise {

/// Gathers the beads of each layer and works out how high and how wide they lie.
///
/// The height of a layer is what most of it shows over what lies below, in 2 mm cells of the plate: the value that a
/// quarter of its length stays under, so that bridges and sparse infill below do not count. Where that is more than any
/// usual layer, most of it lies over air, and the step from the layer before counts.
class LayerBuilder {
 public:
  /// `neither` as the unit of E leaves the widths unknown.
  LayerBuilder(double filament_diameter_mm, EUnit e_unit);

  /// Calls `on_layer(Layer&)` for each layer that is complete; its beads may be moved away.
  template <class OnLayer>
  void on_moves(const MoveBatch& batch, OnLayer&& on_layer) {
    for (const Move& move : batch.moves) {
      if (move.kind != MoveKind::bead) continue;
      if (move.layer != layer_.number && !layer_.beads.empty()) {
        complete();
        on_layer(layer_);
        clear();
      }
      add(batch, move);
    }
  }

  /// No more moves come: hands out the last layer.
  template <class OnLayer>
  void finish(OnLayer&& on_layer) {
    if (layer_.beads.empty()) return;
    complete();
    on_layer(layer_);
    clear();
  }

 private:
  void add(const MoveBatch& batch, const Move& move);
  void complete();
  void clear();
  void sample_beads();
  double height_over_below();

  /// A place on a bead, each 2 mm.
  struct Sample {
    float* top_mm = nullptr;  ///< of what is printed in its cell; null beyond the plate
    double z_mm = 0;
    double length_mm = 0;  ///< of the bead that it stands for
  };

  double filament_area_mm2_;
  EUnit e_unit_;
  Layer layer_;
  TopHeights tops_;
  double last_z_mm_ = 0;  ///< of the layer before
  std::vector<Sample> samples_;
  std::vector<Weighted> heights_;  ///< over what lies below, and the length that has it
};

}  // namespace beadwise
