#pragma once

#include <array>
#include <cstdint>
#include <deque>
#include <span>
#include <vector>

#include "model/layer_stack.hpp"
#include "model/printed_area.hpp"

namespace beadwise::checks {

/// What something that stands on the plate stands on: an island of a first layer, or several that have grown together.
struct Footing {
  static constexpr std::size_t directions = 16;

  AreaMoments contact;                        ///< where beads cover the plate
  std::array<double, directions> reach_mm{};  ///< its farthest place in each direction, from the plate's origin
  double height_mm = 0;                       ///< of what stands on it, over the plate
  double first_height_mm = 0;                 ///< of its first layer
  double length_mm = 0;                       ///< of its beads on the plate
  double brim_mm = 0;                         ///< of them, as their roles say
  double raft_mm = 0;
  double open_mm = 0;  ///< sparse infill, support, strokes that nobody called anything
  double skirt_mm = 0;
  std::uint64_t line = 0;
  std::uint32_t layer = 0;
  Point at_mm;  ///< where its first bead begins

  /// How far it reaches in the direction in which it reaches farthest.
  double longest_mm() const;
  /// How much of its convex outline beads cover, 0 to 1.
  double covered_ratio() const;
  /// The least section modulus of the contact over all directions to tip it: second moment of the area over the
  /// distance of the edge that lifts. Times the adhesion, the moment at which that edge lets go (Navier's bending).
  double section_modulus_mm3() const;
};

/// Follows what stands on the plate upward, from layer to layer. Keeps a footing for each island of the first layers,
/// and whose the islands of the last few layers are.
class Footings {
 public:
  /// Takes in a layer. Returns the footings that grew together in it, each as it stood before; until the next call.
  std::span<const Footing> on_stack(const LayerStack& stack);

  /// After the last layer: those that are left, in the order in which they begin.
  std::vector<Footing> standing() const;

 private:
  using Node = std::uint32_t;

  /// Whose the islands of a layer are.
  struct Placed {
    std::uint32_t layer = 0;
    double widest_half_mm = 0;
    std::vector<Node> nodes;  ///< by island
  };
  /// A layer below, and whose its islands are.
  struct Below {
    const IndexedLayer* layer = nullptr;
    const Placed* placed = nullptr;
    std::vector<char> asked;  ///< by island: whether it may carry one of those in doubt
  };

  void begin(const IndexedLayer& indexed, std::vector<Node>& nodes);
  void sort_footprints(const IndexedLayer& indexed);
  void measure(const IndexedLayer& indexed, std::uint32_t island, Footing& footing);
  void add_close_skirt(const IndexedLayer& indexed, std::uint32_t island, const std::vector<Node>& nodes);
  void follow(const LayerStack& stack, Placed& placed);
  Node only_one();
  void settle_by_boxes(const IndexedLayer& indexed, Placed& placed);
  void ask_below(const IndexedLayer& indexed, std::vector<Node>& nodes);
  void ask_above(const IndexedLayer& indexed, const Below& below, std::vector<Node>& nodes);
  void carry(Node& carried, Node carrier);
  Node unite(Node one, Node other);
  Node root_of(Node node);

  std::vector<Footing> footings_;
  std::vector<Node> parents_;
  std::deque<Placed> placed_;
  std::vector<Footing> joined_;
  PrintedArea area_;
  // Memory used again from one layer to the next.
  std::vector<Below> below_;
  std::vector<char> in_doubt_;         ///< by island of the layer in hand: several may carry it
  std::vector<std::uint32_t> order_;   ///< footprints, by island
  std::vector<std::uint32_t> starts_;  ///< of each island in `order_`
  std::vector<std::uint32_t> seen_;    ///< beads or footprints met, by island
  std::vector<Footprint> chosen_;
};

}  // namespace beadwise::checks
