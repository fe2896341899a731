#include "model/track_samples.hpp"

#include <algorithm>

namespace beadwise {

FootprintRun footprints_of(const BeadIndex& index, std::uint32_t first_bead, std::uint32_t count) {
  const std::vector<Footprint>& all = index.footprints();
  const auto before = [](const Footprint& one, std::uint32_t bead) { return one.bead < bead; };
  const auto first = std::lower_bound(all.begin(), all.end(), first_bead, before);
  // Most beads are one piece each, so the end is near.
  auto last = first + std::min<std::ptrdiff_t>(count, all.end() - first);
  if (last != all.end() && last->bead < first_bead + count)
    last = std::lower_bound(last, all.end(), first_bead + count, before);
  return {all.data() + (first - all.begin()), all.data() + (last - all.begin())};
}

}  // namespace beadwise
