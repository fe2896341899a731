#pragma once

#include "beadwise/move.hpp"

namespace beadwise::checks {

/// Knows which moves lay material: beads and, where the file switches the extruder by M101 and M103, every motion in
/// the plane in between. Wants every event in the order of the file.
class Laying {
 public:
  void on_event(const Event& event) {
    if (event.kind == EventKind::extruder_on) switched_on_ = true;
    if (event.kind == EventKind::extruder_off) switched_on_ = false;
  }

  bool lays(const Move& move) const {
    if (move.kind == MoveKind::bead) return true;
    if (!switched_on_ || move.kind != MoveKind::travel) return false;
    return move.from_mm.x != move.to_mm.x || move.from_mm.y != move.to_mm.y;
  }

 private:
  bool switched_on_ = false;
};

}  // namespace beadwise::checks
