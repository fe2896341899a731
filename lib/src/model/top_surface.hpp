#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <unordered_map>

#include "model/indexed_layer.hpp"
#include "model/plane.hpp"

namespace beadwise {

/// Height of what is printed under a place, for the whole job: in cells of half a millimetre, each as high as the
/// highest bead that covers its middle.
class TopSurface {
 public:
  static constexpr double cell_mm = 0.5;

  /// A layer was printed.
  void raise(const IndexedLayer& layer);

  /// Height of what is printed under a place, mm; 0 for the bare plate.
  double at(PlanePoint place) const;
};

}  // namespace beadwise
