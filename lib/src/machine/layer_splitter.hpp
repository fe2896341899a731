#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "beadwise/move.hpp"

namespace beadwise {

/// Gives each move the number of its layer.
///
/// A new layer begins with the first bead laid at a height more than 1 µm from that of the bead before; the height of
/// a bead is that of its end. Ten or more climbing beads in a row are a spiral: there a layer ends after each layer
/// height of climb, the layer height being the last flat layer's, else the climb of one turn.
class LayerSplitter {
 public:
  /// Numbers the moves from `first` on. The last ones may stay undecided for a while: see `undecided`.
  void number(std::vector<Move>& moves, const std::vector<Arc>& arcs, std::size_t first);

  /// Index of the first move that has no number yet, or the count of moves.
  std::size_t undecided(const std::vector<Move>& moves) const {
    return waiting_.empty() ? moves.size() : waiting_.front();
  }

  /// Decides what is waiting, as no spiral.
  void decide(std::vector<Move>& moves);

  /// The moves before `count` are gone from the vector.
  void forget(std::size_t count);

 private:
  void number_bead(std::vector<Move>& moves, const std::vector<Arc>& arcs, std::size_t index);
  void place_flat(Move& bead);
  void place_in_spiral(Move& bead, const std::vector<Arc>& arcs);
  void begin_spiral(std::vector<Move>& moves, const std::vector<Arc>& arcs);
  void begin_layer(double z_mm);
  void fill_between(std::vector<Move>& moves, std::size_t index);

  std::vector<std::size_t> waiting_;  ///< climbing beads that may become a spiral
  std::size_t numbered_ = 0;          ///< moves before this index have their number
  std::uint32_t layer_ = 0;
  double bead_z_mm_ = 0;  ///< of the bead before
  double layer_z_mm_ = 0;
  double flat_height_mm_ = 0;  ///< of the last flat layer; 0 where there is none
  bool spiral_ = false;
  double spiral_floor_mm_ = 0;   ///< where the spiral's present layer began
  double spiral_height_mm_ = 0;  ///< 0 until it is known
  double turned_rad_ = 0;
  double heading_rad_ = 0;
  bool has_heading_ = false;
  bool layer_full_ = false;  ///< the next bead of the spiral begins a layer
};

}  // namespace beadwise
