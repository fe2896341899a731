#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

#include "beadwise/picture.hpp"
#include "model/indexed_layer.hpp"

namespace beadwise {

/// Of a layer with more than `most_beads` beads keeps those around `places` (all, where there are no places), and of
/// these the first; its travels follow. Gives how many beads were taken away. Before it is indexed.
std::uint64_t keep_beads_near(IndexedLayer& layer, std::span<const PicturePoint> places, std::size_t most_beads);

/// An indexed layer as a picture.
LayerPicture drawn(const IndexedLayer& layer);

}  // namespace beadwise
