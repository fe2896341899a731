#pragma once

#include <cstdint>
#include <unordered_map>
#include <vector>

#include "beadwise/bead.hpp"
#include "beadwise/job.hpp"

namespace beadwise {

/// Which beads of a plate belong together, seen from above: beads whose places touch, in cells of half a millimetre,
/// on any layer. Objects closer than a millimetre count as one.
class ObjectMap {
 public:
  static constexpr double cell_mm = 0.5;

  void on_layer(const Layer& layer);

  /// After the last layer: the objects, numbered as they begin.
  std::vector<ObjectFigures> objects() const;

 private:
  std::uint32_t node_of(double x_mm, double y_mm);
  std::uint32_t root_of(std::uint32_t node);
  std::uint32_t join(std::uint32_t a, std::uint32_t b);
  void add(const Bead& bead, const Layer& layer);

  struct Sum {
    ObjectFigures figures;
    Box box;
    std::uint64_t first_line = 0;
  };

  std::unordered_map<std::uint64_t, std::uint32_t> cells_;
  std::vector<std::uint32_t> parents_;
  std::vector<Sum> sums_;  ///< at the roots
};

}  // namespace beadwise
