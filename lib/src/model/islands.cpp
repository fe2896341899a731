#include "model/islands.hpp"

#include <numeric>
#include <utility>

namespace beadwise {

namespace {

/// Which beads are known to belong together (Tarjan 1975, J. ACM 22:215).
class Joined {
 public:
  explicit Joined(std::size_t count) : parents_(count) { std::iota(parents_.begin(), parents_.end(), 0U); }

  std::uint32_t root_of(std::uint32_t bead) {
    while (parents_[bead] != bead) {
      parents_[bead] = parents_[parents_[bead]];
      bead = parents_[bead];
    }
    return bead;
  }

  // The earlier bead is the root, so that islands are numbered as they begin.
  void join(std::uint32_t a, std::uint32_t b) {
    a = root_of(a);
    b = root_of(b);
    if (a > b) std::swap(a, b);
    parents_[b] = a;
  }

 private:
  std::vector<std::uint32_t> parents_;
};

bool touch(const Footprint& a, const Footprint& b) {
  const double reach_mm = BeadIndex::touch_ratio * (a.half_mm() + b.half_mm());
  return boxes_within(a.from(), a.to(), b.from(), b.to(), reach_mm) &&
         squared_distance_mm2(a.from(), a.to(), b.from(), b.to()) <= reach_mm * reach_mm;
}

void join_in_cell(const std::vector<Footprint>& footprints, const std::uint32_t* first, const std::uint32_t* last,
                  Joined& joined) {
  const std::uint32_t root = joined.root_of(footprints[*first].bead);
  const std::uint32_t* other = first + 1;
  while (other != last && joined.root_of(footprints[*other].bead) == root) ++other;
  // Before `other` all are one already; mostly that is the whole cell.
  for (; other != last; ++other) {
    const Footprint& footprint = footprints[*other];
    for (const std::uint32_t* before = first; before != other; ++before) {
      const Footprint& candidate = footprints[*before];
      if (joined.root_of(candidate.bead) == joined.root_of(footprint.bead)) continue;
      if (touch(candidate, footprint)) joined.join(candidate.bead, footprint.bead);
    }
  }
}

}  // namespace

void find_islands(IndexedLayer& indexed) {
  const std::vector<Bead>& beads = indexed.layer.beads;
  Joined joined(beads.size());
  for (const Track& track : indexed.tracks)
    for (std::uint32_t i = 1; i < track.count; ++i) joined.join(track.first, track.first + i);
  const std::vector<Footprint>& footprints = indexed.index.footprints();
  indexed.index.each_cell(
      [&](const std::uint32_t* first, const std::uint32_t* last) { join_in_cell(footprints, first, last, joined); });
  indexed.islands.clear();
  indexed.island_of.assign(beads.size(), 0);
  for (std::uint32_t i = 0; i < beads.size(); ++i) {
    const std::uint32_t root = joined.root_of(i);
    if (root == i) {
      indexed.island_of[i] = static_cast<std::uint32_t>(indexed.islands.size());
      indexed.islands.push_back({.first = i});
    } else {
      indexed.island_of[i] = indexed.island_of[root];
    }
    Island& island = indexed.islands[indexed.island_of[i]];
    const Bead& bead = beads[i];
    ++island.beads;
    island.box_mm.add(bead.from_mm);
    island.box_mm.add(bead.to_mm);
    island.laid_mm3 += bead.area_mm2 * bead.path_mm;
    island.length_mm += bead.path_mm;
  }
}

}  // namespace beadwise
