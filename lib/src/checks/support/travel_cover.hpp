#pragma once

#include <optional>
#include <vector>

#include "checks/support/passage.hpp"

namespace beadwise::checks {

/// A part of a travel over the open, and what it leaves and comes to.
struct OpenPart {
  Span span;
  std::optional<std::uint32_t> bead_before;  ///< none where the travel begins in the open
  std::optional<std::uint32_t> bead_after;
};

/// Splits travels into what they pass over. One object serves many travels and uses its memory again.
class TravelCover {
 public:
  /// The parts of a travel, within `part` of it, over beads that were laid before, each with its bead, in order of
  /// their start. The bead that the passage leaves and the places around its start and goal are left out. Valid until
  /// the next question.
  const std::vector<Covered>& laid(const IndexedLayer& layer, const Passage& passage, const Travel& travel, Span part);

  /// The parts of a travel over the open: over no bead of the layer, laid before or later, and outside its outline; in
  /// order, none shorter than `least_mm`. Valid until the next question.
  const std::vector<OpenPart>& open(const IndexedLayer& layer, const Travel& travel, double least_mm);

 private:
  std::vector<Covered> covered_;
  std::vector<OpenPart> open_;
};

/// Whether a travel stays within the reach of its passage's start or of its goal: then it crosses nothing.
bool stays_near_ends(const Passage& passage, const Travel& travel);

}  // namespace beadwise::checks
