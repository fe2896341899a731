#include "model/bead_path.hpp"

#include "machine/arcs.hpp"

namespace beadwise {

Point point_on_bead(const Bead& bead, const std::vector<Arc>& arcs, double share) {
  if (bead.arc >= 0) return point_on_arc(arcs[static_cast<std::size_t>(bead.arc)], bead.from_mm, bead.to_mm, share);
  return {bead.from_mm.x + share * (bead.to_mm.x - bead.from_mm.x),
          bead.from_mm.y + share * (bead.to_mm.y - bead.from_mm.y),
          bead.from_mm.z + share * (bead.to_mm.z - bead.from_mm.z)};
}

}  // namespace beadwise
