#pragma once

#include "beadwise/move.hpp"

namespace beadwise {

/// What carries the part and is broken off.
inline bool is_support(BeadRole role) { return role == BeadRole::support || role == BeadRole::support_interface; }

/// What is laid for the part's sake beside or under it, and thrown away.
inline bool is_around_part(BeadRole role) {
  return role == BeadRole::skirt || role == BeadRole::brim || role == BeadRole::raft || role == BeadRole::prime;
}

/// What does not stay with the part.
inline bool is_apart(BeadRole role) { return is_support(role) || is_around_part(role); }

inline bool is_wall(BeadRole role) { return role == BeadRole::perimeter || role == BeadRole::outer_perimeter; }

/// Fill whose lines lie tight.
inline bool is_solid(BeadRole role) {
  return role == BeadRole::solid_infill || role == BeadRole::top || role == BeadRole::bottom;
}

/// Fill, tight or sparse.
inline bool is_fill(BeadRole role) { return role == BeadRole::infill || is_solid(role); }

}  // namespace beadwise
