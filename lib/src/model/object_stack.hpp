#pragma once

#include <cstdint>
#include <deque>
#include <vector>

#include "beadwise/job.hpp"
#include "model/layer_stack.hpp"
#include "model/plane.hpp"
#include "model/plate_grid.hpp"

namespace beadwise {

/// The objects of a plate: islands stacked from the plate up. An island that islands of an object below carry belongs
/// to it, one that several objects carry joins them, one that nothing carries begins a new one, on the plate or in the
/// air.
///
/// Keeps figures of each object and the last few layers' islands; of the plate, whose the beads over each half
/// millimetre are. After 65536 beginnings what begins is no object.
class ObjectStack {
 public:
  void on_stack(const LayerStack& stack);

  /// No more layers come: numbers the objects as they begin in the file.
  void finish();

  /// After the end, in order of number.
  const std::vector<ObjectFigures>& objects() const { return objects_; }
  /// After the end: the number of the object that has a bead nearest to a place, within 2 mm; 0 where there is none.
  std::uint32_t object_at(PlanePoint place) const;

 private:
  using Node = std::uint32_t;

  struct Sum {
    ObjectFigures figures;
    Box box;
    std::uint64_t first_line = 0;
  };
  /// A place on the middle line of a bead.
  struct Sample {
    PlanePoint place;
    double half_mm = 0;
  };
  /// Whose the islands of a layer are.
  struct Placed {
    std::uint32_t layer = 0;
    double z_mm = 0;
    double height_mm = 0;
    double widest_half_mm = 0;
    std::vector<Node> nodes;                   ///< by island
    std::vector<Box> boxes;                    ///< of the islands, of their middle lines
    std::vector<Sample> samples;               ///< on its beads, spread over each island
    std::vector<std::uint32_t> sample_starts;  ///< of each island in `samples`; one more than there are islands
  };

  Node begin(const Layer& layer);
  Node root_of(Node node);
  Node join(Node a, Node b);

  const Placed* placed(std::uint32_t layer) const;
  void sort_beads(const IndexedLayer& layer);
  Node node_of(const LayerStack& stack, std::uint32_t island);
  void find_below(const Layer& layer);
  void name_candidates(const Box& box);
  void add_carriers(const LayerStack& stack, const Bead& bead, double share);
  void add_carriers_from_below(const IndexedLayer& layer, std::uint32_t island);
  bool under(const IndexedLayer& layer, std::uint32_t island, PlanePoint place, double half_mm) const;
  void keep_samples(const IndexedLayer& layer, Placed& into) const;
  void mark(const Bead& bead, const std::vector<Arc>& arcs, Node node);
  void add_beads(const IndexedLayer& layer, const std::vector<Node>& nodes);

  std::vector<Node> parents_;
  std::vector<Sum> sums_;  ///< at the roots
  std::deque<Placed> placed_;
  PlateGrid<Node> cells_;  ///< one more than the node; 0 where nothing is
  std::vector<ObjectFigures> objects_;
  std::vector<std::uint32_t> numbers_;  ///< by node

  std::vector<std::uint32_t> beads_;        ///< of the layer, by island
  std::vector<std::uint32_t> bead_starts_;  ///< of each island in `beads_`
  std::vector<const Placed*> below_;        ///< what may carry the layer
  std::size_t islands_below_ = 0;
  std::vector<Node> candidates_;  ///< objects that come near an island from below
  std::vector<Node> carriers_;    ///< those of them that carry it
};

}  // namespace beadwise
