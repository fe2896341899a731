#pragma once

#include <deque>
#include <memory>
#include <vector>

#include "beadwise/profile.hpp"
#include "model/indexed_layer.hpp"
#include "model/top_surface.hpp"

namespace beadwise {

/// Diameter of the nozzle, mm: as known, else the usual one.
inline double nozzle_mm_of(const MachineProfile& machine) {
  constexpr double usual_mm = 0.4;
  return machine.nozzle_diameter_mm.value.value_or(usual_mm);
}

/// What lies under a bead by at most so many layer heights carries it: a support with a gap of one layer does, and the
/// bottom of a hollow one layer deep.
inline constexpr double carrying_heights = 2.2;

/// A layer with what it lies on and what lies on it.
struct LayerStack {
  const IndexedLayer& layer;
  /// Whose tops lie just under it, by at most a layer height more than its own: the highest first.
  std::vector<const IndexedLayer*> below;
  /// That were printed after it and lie right on it.
  std::vector<const IndexedLayer*> above;
  const TopSurface& before;  ///< what had been printed when it began

  /// Whether something carries a place of this layer: the plate, or a bead of a layer below.
  bool carried(PlanePoint place, double margin_mm = 0) const;
  /// Whether a bead of a layer above lies on a place.
  bool covered(PlanePoint place, double margin_mm = 0) const;
  /// Whether a place lies inside the outline of a layer above, printed or hollow: it will not be seen.
  bool hidden(PlanePoint place) const;
};

/// Fills in the index of a layer and what is found in it alone: tracks, islands, roles.
void index_layer(IndexedLayer& layer, const MachineProfile& machine);

/// Hands on each layer when the next one over it is known. Keeps the layers in between and a few below, no more.
class LayerStacker {
 public:
  explicit LayerStacker(const MachineProfile& machine);

  /// A layer that is complete, with its travels; calls `on_stack(const LayerStack&)` for those that can be judged.
  template <class OnStack>
  void add(Layer&& layer, std::vector<Travel>&& travels, OnStack&& on_stack) {
    take_in(std::move(layer), std::move(travels));
    while (is_ready()) {
      on_stack(stack());
      retire();
    }
  }

  /// No more layers come.
  template <class OnStack>
  void finish(OnStack&& on_stack) {
    while (!waiting_.empty()) {
      on_stack(stack());
      retire();
    }
  }

 private:
  void take_in(Layer&& layer, std::vector<Travel>&& travels);
  bool is_ready() const;
  LayerStack stack();
  void retire();

  double usual_mm_;
  double widest_mm_;
  std::deque<std::unique_ptr<IndexedLayer>> waiting_;
  std::deque<std::unique_ptr<IndexedLayer>> below_;  ///< judged, the latest first
  std::unique_ptr<IndexedLayer> spare_;              ///< whose memory is used again
  TopSurface top_;
};

}  // namespace beadwise
