#pragma once

#include <vector>

#include "support/regions.hpp"

namespace beadwise::tests {

enum class LaidPart {
  stroke,   ///< one bead that is the whole stroke
  outline,  ///< the outermost loop
  inner,    ///< a loop inside it
  gap,      ///< one bead between loops
  fill      ///< lines side by side
};

/// Beads laid one after another without a travel.
struct LaidTrack {
  LaidPart part = LaidPart::stroke;
  std::vector<LaidBead> beads;
};

/// How letters are made of beads; all common practice.
struct MakerStyle {
  double nozzle_mm = 0.4;
  /// Of the nozzle: what is thinner is dropped, what is thicker than `outline_ratio` gets outlines.
  double thinnest_ratio = 0.6;
  double outline_ratio = 2;
  /// How far neighbouring lines reach into each other: what the rounded sides of beads 0.2 mm high need to lie tight,
  /// h (1 − π/4).
  double overlap_mm = 0.043;
  int outlines = 2;
  double fill_angle_deg = 45;
  /// How far the ends of fill lines reach into the innermost loop.
  double fill_overlap_mm = 0.15;
};

/// Lays a region: one bead of the local width along the medial axis where it is thin, else loops side by side, and
/// inside them lines. Where the rest between two loops is too thin for a bead of its own, the loops are laid wider.
std::vector<LaidTrack> lay(const Region& shape, const MakerStyle& style = {});

std::vector<LaidBead> beads_of(const std::vector<LaidTrack>& tracks);

}  // namespace beadwise::tests
