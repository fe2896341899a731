#pragma once

#include "model/indexed_layer.hpp"
#include "model/layer_stack.hpp"

namespace beadwise {

/// Fills `roles`, `outline` and the `boundary` of tracks. What the comments say holds; beads that they say nothing
/// about are judged by their geometry: closed loops with nothing printed beside them on one side, nor fill beyond, are
/// outer perimeters (the side may be a hole), other closed loops perimeters; open strokes with neighbours on both sides
/// solid infill, open strokes far from each other infill; strokes in no outline, outer perimeters of a thin feature, or
/// support where they are many times as long together as the region is large. Loops that stop feeding shortly before
/// their end become `closed` first.
void infer_roles(IndexedLayer& layer);

/// What needs the layers around it, for beads whose comments say nothing: solid infill that nothing hides is `top`, on
/// the plate or over nothing `bottom`; on the plate, islands with nothing above are skirt (loops) or prime (strokes),
/// loops of an island that carry nothing brim.
void settle_roles(IndexedLayer& layer, const LayerStack& stack);

/// Whether a place lies inside the printed outline of a layer: inside an outer boundary and in no hole, whether there
/// is a bead at the place or a hollow between infill. Even-odd over the boundary tracks.
bool inside_outline(const IndexedLayer& layer, PlanePoint place);

}  // namespace beadwise
