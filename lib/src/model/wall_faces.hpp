#pragma once

#include <deque>
#include <functional>
#include <utility>

#include "model/wall_face.hpp"

namespace beadwise {

/// Follows the upright faces of a print that something steps out of, from layer to layer, and hands on each once it has
/// ended. What is kept is bounded, however large the print.
class WallFaces {
 public:
  explicit WallFaces(std::function<void(const WallFace&)> on_face) : on_face_(std::move(on_face)) {}

  /// Layers in the order of the file.
  void add(const IndexedLayer& layer);
  /// No more layers come.
  void finish();

 private:
  void end_faces(const Layer& layer);
  void look_at(const IndexedLayer& layer, const Loop& loop, const Box& box_mm);
  void go_on(const IndexedLayer& layer, std::vector<WallPiece>& pieces, const Box& box_mm);
  void begin(const IndexedLayer& layer, std::vector<WallPiece>& pieces);
  bool begin_at(const IndexedLayer& layer, const FaceLine& line, std::vector<WallPiece>& pieces);

  std::function<void(const WallFace&)> on_face_;
  std::deque<WallFace> faces_;
};

}  // namespace beadwise
