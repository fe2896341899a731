#include "model/wall_steps.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "model/track_samples.hpp"

namespace beadwise {

namespace {

// Shorter pieces are the round of a corner, or the side of a step; common practice.
constexpr double least_piece_mm = 0.15;
constexpr double parallel_sine = 0.06;
constexpr double parallel_cosine = 0.998;
// A step is made within this way along the wall: its corners may be rounded.
constexpr double longest_step_mm = 0.8;
constexpr double longest_bump_mm = 1.5;
// Tangents of turns: 3 degrees are more than the chords of a smooth wall make, 25 degrees are a corner.
constexpr float least_bend = 0.05F;
constexpr float corner_bend = 0.47F;
constexpr int least_steps = 2;
constexpr double same_box_mm = 0.02;

struct Course {
  PlanePoint way{0, 0};
  PlanePoint from;
  PlanePoint to;
  double length_mm = 0;
};

/// Follows a wall and tells of each long piece whether it lies a step beside one of the two before it.
class StepFinder {
 public:
  explicit StepFinder(const StepLimits& limits) : limits_(limits) {}

  /// The piece beside which this one goes on; none where it does not.
  const Course* beside(PlanePoint from, PlanePoint to) {
    const double dx = to.x - from.x;
    const double dy = to.y - from.y;
    const double squared = dx * dx + dy * dy;
    if (squared < least_piece_mm * least_piece_mm) {
      strays_mm_ = std::max(strays_mm_, aside_mm(before_[1], to));
      return nullptr;
    }
    const double length_mm = std::sqrt(squared);
    const Course now{{dx / length_mm, dy / length_mm}, from, to, length_mm};
    const Course* found = nullptr;
    for (const Course& before : before_)
      if (steps_from(before, now)) found = &before;
    if (goes_back(before_[1], now)) found = &before_[0];
    if (comes_back(before_[1], now)) found = &before_[1];
    strays_mm_ = 0;
    // What was found must outlive the change of courses.
    met_ = found ? *found : Course{};
    before_ = {before_[1], now};
    return found ? &met_ : nullptr;
  }

 private:
  static double aside_mm(const Course& before, PlanePoint place) {
    return std::abs(before.way.x * (place.y - before.to.y) - before.way.y * (place.x - before.to.x));
  }

  static double along_mm(const Course& before, PlanePoint place) {
    return std::abs(before.way.x * (place.x - before.to.x) + before.way.y * (place.y - before.to.y));
  }

  static bool parallel(const Course& before, const Course& now) {
    return before.way.x * now.way.x + before.way.y * now.way.y > 0 &&
           std::abs(before.way.x * now.way.y - before.way.y * now.way.x) <= parallel_sine;
  }

  bool is_step(double mm) const { return mm >= limits_.least_mm && mm <= limits_.most_mm; }

  bool steps_from(const Course& before, const Course& now) const {
    return parallel(before, now) && is_step(aside_mm(before, now.from)) &&
           along_mm(before, now.from) <= longest_step_mm;
  }

  /// Straight on after a relief that is made of short pieces alone.
  bool comes_back(const Course& before, const Course& now) const {
    return is_step(strays_mm_) && parallel(before, now) && aside_mm(before, now.from) < limits_.least_mm &&
           along_mm(before, now.from) <= longest_bump_mm;
  }

  /// Out along one side of a relief no wider than a bead or two and back along the other: nothing long lies between.
  bool goes_back(const Course& before, const Course& now) const {
    if (before.way.x * now.way.x + before.way.y * now.way.y > -parallel_cosine) return false;
    if (std::min(before.length_mm, now.length_mm) > limits_.most_mm) return false;
    return aside_mm(before, now.from) <= longest_step_mm;
  }

  StepLimits limits_;
  std::array<Course, 2> before_{};
  Course met_;
  double strays_mm_ = 0;  ///< how far the short pieces since the last long one lead aside of it
};

/// Whether a wall has corners, and turns at least twice each way: what has not makes no steps. Round, oval, wavy and
/// plain angular walls are told by this alone.
bool turns_to_and_fro(const FootprintRun& run) {
  int corners = 0;
  int left = 0;
  int right = 0;
  float dx = 0;
  float dy = 0;
  for (const Footprint& piece : run) {
    const float x = piece.to_x_mm - piece.from_x_mm;
    const float y = piece.to_y_mm - piece.from_y_mm;
    const float turn = dx * y - dy * x;
    const float ahead = dx * x + dy * y;
    const float bend = std::abs(turn);
    dx = x;
    dy = y;
    if (bend <= least_bend * ahead) continue;
    corners += bend > corner_bend * ahead;
    left += turn > 0;
    right += turn < 0;
    if (corners >= 2 && left >= 2 && right >= 2) return true;
  }
  return false;
}

}  // namespace

bool has_steps(const IndexedLayer& layer, const Loop& loop, const StepLimits& limits) {
  const FootprintRun run = footprints_of(layer.index, loop.first, loop.beads);
  if (!turns_to_and_fro(run)) return false;
  StepFinder finder(limits);
  int steps = 0;
  for (const Footprint& piece : run)
    if (finder.beside(piece.from(), piece.to()) != nullptr && ++steps == least_steps) return true;
  return false;
}

std::vector<WallPiece> wall_pieces(const IndexedLayer& layer, const Loop& loop) {
  std::vector<WallPiece> pieces;
  double twice_area_mm2 = 0;
  Box box;
  for (const Footprint& piece : footprints_of(layer.index, loop.first, loop.beads)) {
    pieces.push_back({piece.from(), piece.to(), piece.half_mm(), piece.bead});
    box.add(Point{piece.to().x, piece.to().y, 0});
    twice_area_mm2 += cross(pieces.front().from, piece.from(), piece.to());
  }
  if (pieces.empty()) return pieces;
  // The outer wall of an island reaches as far as all of it.
  const Box& island = layer.islands[layer.island_of[loop.first]].box_mm;
  if (box.low.x > island.low.x + same_box_mm || box.low.y > island.low.y + same_box_mm ||
      box.high.x < island.high.x - same_box_mm || box.high.y < island.high.y - same_box_mm)
    return {};
  if (twice_area_mm2 < 0) {
    std::reverse(pieces.begin(), pieces.end());
    for (WallPiece& piece : pieces) std::swap(piece.from, piece.to);
  }
  return pieces;
}

std::vector<WallPiece> stepping_pieces(const std::vector<WallPiece>& pieces, std::size_t most,
                                       const StepLimits& limits) {
  struct Candidate {
    double length_mm = 0;
    WallPiece piece;
  };
  std::vector<Candidate> found;
  StepFinder finder(limits);
  for (const WallPiece& piece : pieces) {
    const Course* before = finder.beside(piece.from, piece.to);
    if (before == nullptr) continue;
    const double length_mm = std::hypot(piece.to.x - piece.from.x, piece.to.y - piece.from.y);
    if (length_mm >= before->length_mm)
      found.push_back({length_mm, piece});
    else
      found.push_back({before->length_mm, {before->from, before->to, piece.half_mm, piece.bead}});
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const Candidate& a, const Candidate& b) { return a.length_mm > b.length_mm; });
  std::vector<WallPiece> longest;
  for (const Candidate& one : found) {
    if (longest.size() == most) break;
    longest.push_back(one.piece);
  }
  return longest;
}

}  // namespace beadwise
