#include "model/top_surface.hpp"

namespace beadwise {

void TopSurface::raise(const IndexedLayer&) {}

double TopSurface::at(PlanePoint) const { return 0; }

}  // namespace beadwise
