#pragma once

#include <cstddef>
#include <span>

#include "beadwise/picture.hpp"
#include "model/indexed_layer.hpp"

namespace beadwise {

/// A layer as a picture. Of one with more than `most_beads` pieces those around `places` stay, and of these the first.
LayerPicture drawn(const IndexedLayer& layer, std::span<const PicturePoint> places, std::size_t most_beads);

}  // namespace beadwise
