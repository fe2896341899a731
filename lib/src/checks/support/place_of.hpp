#pragma once

#include "beadwise/finding.hpp"
#include "beadwise/move.hpp"

namespace beadwise::checks {

/// Where a move starts, with how bad it is.
inline Place place_of(const Move& move, double value) {
  return {.line = move.line,
          .layer = move.layer,
          .x_mm = move.from_mm.x,
          .y_mm = move.from_mm.y,
          .z_mm = move.from_mm.z,
          .has_position = true,
          .value = value};
}

/// Where the head was at an event, with how bad it is.
inline Place place_of(const Event& event, double value) {
  return {.line = event.line,
          .layer = event.layer,
          .x_mm = event.at_mm.x,
          .y_mm = event.at_mm.y,
          .z_mm = event.at_mm.z,
          .has_position = true,
          .value = value};
}

}  // namespace beadwise::checks
