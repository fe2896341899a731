#include "model/tool_layers.hpp"

#include <algorithm>
#include <bitset>

#include "model/bead_roles.hpp"
#include "model/islands.hpp"
#include "model/tracks.hpp"

namespace beadwise {

std::vector<IndexedLayer> layers_by_tool(const IndexedLayer& layer) {
  const std::vector<Bead>& beads = layer.layer.beads;
  std::vector<IndexedLayer> parts;
  const auto is_other = [&](const Bead& bead) { return bead.tool != beads.front().tool; };
  if (std::none_of(beads.begin(), beads.end(), is_other)) return parts;
  constexpr std::size_t most_tools = 256;
  std::bitset<most_tools> tools;
  double widest_mm = 0;
  for (const Bead& bead : beads) tools.set(bead.tool);
  for (const Footprint& footprint : layer.index.footprints()) widest_mm = std::max(widest_mm, 2 * footprint.half_mm());
  for (std::size_t tool = 0; tool < most_tools; ++tool) {
    if (!tools.test(tool)) continue;
    IndexedLayer part;
    part.layer = layer.layer;
    part.layer.beads.clear();
    std::copy_if(beads.begin(), beads.end(), std::back_inserter(part.layer.beads),
                 [&](const Bead& bead) { return bead.tool == tool; });
    part.index.build(part.layer, widest_mm, widest_mm);
    find_tracks(part);
    find_islands(part);
    infer_roles(part);
    parts.push_back(std::move(part));
  }
  return parts;
}

}  // namespace beadwise
