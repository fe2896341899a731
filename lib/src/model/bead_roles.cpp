#include "model/bead_roles.hpp"

namespace beadwise {

void infer_roles(IndexedLayer& layer) {
  layer.roles.clear();
  for (const Bead& bead : layer.layer.beads) layer.roles.push_back(bead.role);
}

void settle_roles(IndexedLayer&, const LayerStack&) {}

bool inside_outline(const IndexedLayer&, PlanePoint) { return false; }

}  // namespace beadwise
