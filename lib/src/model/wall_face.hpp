#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "model/wall_steps.hpp"

namespace beadwise {

/// A place on an upright face: how far along it, to the right as seen from outside, and how far out of it.
struct FacePlace {
  double along_mm = 0;
  double out_mm = 0;
};

/// An upright face seen from above: a straight line, or a circle whose inside is printed.
struct FaceLine {
  PlanePoint origin;     ///< where its length counts from; of a circle, its centre
  PlanePoint way{1, 0};  ///< of length 1; of a circle: from the centre to where its length counts from
  double radius_mm = 0;  ///< 0 where it is straight

  FacePlace at(PlanePoint place) const;
  PlanePoint place(double along_mm, double out_mm) const;
  /// The way out of a straight face, or out of the middle of a round one, against X, degrees, 0 to 360.
  double outward_deg(double along_mm) const;
};

/// A stretch of wall that runs along a face, at one depth.
struct FaceRun {
  float from_mm = 0;  ///< along the face; next to another depth: where the printed side stands at half of the step
  float to_mm = 0;
  float out_mm = 0;        ///< of the printed surface
  float half_mm = 0;       ///< of its bead's width
  std::uint32_t line = 0;  ///< of its bead, counted from the layer's first
};

/// One layer of a face.
struct FaceRow {
  std::uint32_t layer = 0;
  std::uint64_t first_line = 0;  ///< of the layer
  double bottom_mm = 0;
  double top_mm = 0;
  std::size_t first_run = 0;
  std::size_t runs = 0;
};

/// An upright face with what steps out of it and into it, layer by layer; layers without steps have no row.
struct WallFace {
  FaceLine line;
  std::vector<FaceRow> rows;
  std::vector<FaceRun> runs;  ///< of each row in order along the face
  Box box_mm;                 ///< of what of the wall runs along it
  std::uint32_t last_layer = 0;
  double last_top_mm = 0;
  bool crowded = false;  ///< more steps than lettering has; its rows are not kept
};

/// How the wall of one loop runs along a face.
struct FaceRuns {
  std::vector<FaceRun> runs;
  std::vector<char> on_face;  ///< by piece
  double length_mm = 0;
  std::size_t steps = 0;  ///< from run to run
};

/// `pieces` closed, the printed region on their left. Lines of the runs are those of their beads, less `first_line`.
FaceRuns runs_along(const FaceLine& line, const IndexedLayer& layer, const std::vector<WallPiece>& pieces);

/// The straight face through a piece of wall, laid through the depth that most of the wall near it has; none where too
/// little of the wall runs along it, or none of it steps.
std::optional<FaceLine> straight_face(const IndexedLayer& layer, const std::vector<WallPiece>& pieces,
                                      const WallPiece& seed);

/// The round face that a whole wall follows but for its steps.
std::optional<FaceLine> round_face(const IndexedLayer& layer, const std::vector<WallPiece>& pieces);

/// Whether a wall runs along a face and steps there.
bool carries_relief(const FaceRuns& runs);

}  // namespace beadwise
