#pragma once

#include <cstdint>
#include <deque>
#include <optional>
#include <vector>

#include "model/layer_stack.hpp"

namespace beadwise::checks {

/// How an upright feature resists bending at one height.
struct Section {
  double z_mm = 0;
  double modulus_mm3 = 0;   ///< about its weaker axis: moment over the stress at the edge
  double thickness_mm = 0;  ///< across that axis
};

/// Where a feature gives way, and to what push.
struct Yield {
  double push_n = 0;  ///< infinite where nothing bends it
  Section section;
};

/// An island as a piece of an upright feature.
struct Tower {
  bool small = false;  ///< at most as large across as is asked for; nothing else is known of others
  Section section;     ///< of this island
  // Of two layers the stronger: a sliver in one layer is no neck.
  Section foot;       ///< where it stands on something larger or on the plate
  Section narrowest;  ///< from there up
  std::uint32_t layers = 1;
  std::optional<Section> on_plate;

  /// Under a sideways push at `top_mm`, where layers bear `bond_mpa` and the plate holds with `plate_mpa`.
  Yield yields(double top_mm, double bond_mpa, double plate_mpa) const;
};

/// Follows small islands upward from layer to layer, to tell how weak each is at its foot.
class Towers {
 public:
  explicit Towers(double largest_across_mm) : largest_across_mm_(largest_across_mm) {}

  /// Every layer, in order.
  void on_stack(const LayerStack& stack);

  /// An island of the layer shown last.
  const Tower& of_island(std::uint32_t island) const { return layers_.front().towers[island]; }

 private:
  struct Followed {
    std::uint32_t layer = 0;
    std::vector<Tower> towers;  ///< by island
  };
  /// Area and its first and second moments, of the beads of an island one by one.
  struct Sums {
    double area = 0, x = 0, y = 0, xx = 0, xy = 0, yy = 0;
  };
  void find_boxes(const IndexedLayer& layer);
  bool find_small(const IndexedLayer& layer, std::vector<Tower>& towers);
  void find_sections(const IndexedLayer& layer, std::vector<Tower>& towers);
  const Tower* below(const LayerStack& stack, const Island& island) const;
  void stand(const LayerStack& stack, const Island& island, Tower& tower) const;

  double largest_across_mm_;
  std::deque<Followed> layers_;  ///< the latest first
  std::vector<Box> boxes_;       ///< memory used again
  std::vector<Sums> sums_;
};

}  // namespace beadwise::checks
