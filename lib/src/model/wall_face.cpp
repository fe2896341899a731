#include "model/wall_face.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace beadwise {

namespace {

constexpr double along_slope = 0.15;  // steeper pieces are sides of steps
constexpr double same_depth_mm = 0.02;
constexpr double least_run_mm = 0.04;   // shorter ones are the round of a corner
constexpr double same_level_mm = 0.08;  // a depth that much of the wall shares
// The shortest word that anyone stands on a wall, 2 mm high.
constexpr double least_wall_mm = 6;
// A straight face with its relief lies at two depths; what bends, or is rough, at many.
constexpr double two_depths_share = 0.7;
constexpr double most_sag_mm = 0.05;  // of a chord of a round wall
constexpr double least_radius_mm = 4;
constexpr double most_radius_mm = 500;
constexpr double round_share = 0.5;                   // of a wall runs along its round face
constexpr double fits_within_mm[] = {0.4, 0.2, 0.1};  // of the depth that most of a round wall has

/// Follows a wall from depth to depth.
class RunFinder {
 public:
  RunFinder(const FaceLine& line, const IndexedLayer& layer, const std::vector<WallPiece>& pieces)
      : line_(line), layer_(layer), pieces_(pieces) {
    found_.on_face.assign(pieces.size(), 0);
    from_.reserve(pieces.size());
    to_.reserve(pieces.size());
    for (const WallPiece& piece : pieces) {
      from_.push_back(line.at(piece.from));
      to_.push_back(line.at(piece.to));
    }
  }

  FaceRuns find() {
    const std::size_t count = pieces_.size();
    // From where the wall is off the face, so that no run and no step is cut in two.
    std::size_t first = 0;
    while (first < count && near(first) && to_[first].along_mm >= from_[first].along_mm - longest_side_mm) ++first;
    for (std::size_t k = 0; k < count; ++k) take((first + k) % count);
    end_run();
    std::stable_sort(found_.runs.begin(), found_.runs.end(),
                     [](const FaceRun& a, const FaceRun& b) { return a.from_mm < b.from_mm; });
    return std::move(found_);
  }

 private:
  bool near(std::size_t i) const {
    return std::abs(from_[i].out_mm) <= limits_.most_mm && std::abs(to_[i].out_mm) <= limits_.most_mm;
  }

  bool lies_along(std::size_t i) const {
    const double along_mm = to_[i].along_mm - from_[i].along_mm;
    if (along_mm <= 0 || !near(i) || std::abs(to_[i].out_mm - from_[i].out_mm) > along_slope * along_mm) return false;
    if (line_.radius_mm == 0) return true;
    return along_mm * along_mm <= 8 * line_.radius_mm * most_sag_mm;
  }

  void take(std::size_t i) {
    if (!lies_along(i)) {
      end_run();
      side_.push_back(i);
      return;
    }
    const double half_mm = pieces_[i].half_mm;
    const double out_mm = (from_[i].out_mm + to_[i].out_mm) / 2 + half_mm;
    if (open_ && std::abs(out_mm - out_mm_) > same_depth_mm) end_run();
    if (!open_) {
      open_ = true;
      run_ = {.from_mm = static_cast<float>(from_[i].along_mm),
              .half_mm = static_cast<float>(half_mm),
              .line = static_cast<std::uint32_t>(layer_.layer.beads[pieces_[i].bead].line - layer_.layer.first_line)};
      weighted_mm2_ = 0;
      run_mm_ = 0;
    }
    const double length_mm = to_[i].along_mm - from_[i].along_mm;
    weighted_mm2_ += length_mm * out_mm;
    run_mm_ += length_mm;
    out_mm_ = out_mm;
    run_.to_mm = static_cast<float>(to_[i].along_mm);
    members_.push_back(i);
  }

  void end_run() {
    if (!open_) return;
    open_ = false;
    if (run_mm_ < least_run_mm) {
      side_.insert(side_.end(), members_.begin(), members_.end());
      members_.clear();
      return;
    }
    run_.out_mm = static_cast<float>(weighted_mm2_ / run_mm_);
    if (!found_.runs.empty()) join(found_.runs.back());
    found_.length_mm += run_mm_;
    for (const std::size_t i : members_) found_.on_face[i] = 1;
    found_.runs.push_back(run_);
    members_.clear();
    side_.clear();
  }

  /// Where the run before and this one meet: the edge of what is printed at half of the step between them.
  void join(FaceRun& before) {
    const double step_mm = static_cast<double>(run_.out_mm - before.out_mm);
    const double gap_mm = std::abs(static_cast<double>(run_.from_mm - before.to_mm));
    if (gap_mm > longest_side_mm + std::abs(step_mm)) return;
    if (std::abs(step_mm) < limits_.least_mm) return;
    ++found_.steps;
    for (const std::size_t i : side_) found_.on_face[i] = 1;
    const double level_mm = static_cast<double>(run_.out_mm + before.out_mm) / 2;
    const bool rises = step_mm > 0;
    const FaceRun& high = rises ? run_ : before;
    const double half_mm = static_cast<double>(high.half_mm);
    const double out_mm = static_cast<double>(high.out_mm) - half_mm;
    const double end_mm = static_cast<double>(rises ? run_.from_mm : before.to_mm);
    double edge_mm = reach(end_mm, out_mm, half_mm, level_mm, rises);
    for (const std::size_t i : side_) {
      const double t = share_nearest(from_[i].out_mm, to_[i].out_mm, level_mm);
      for (const double at : {0.0, t, 1.0}) {
        const double along_mm = from_[i].along_mm + at * (to_[i].along_mm - from_[i].along_mm);
        const double here_mm = from_[i].out_mm + at * (to_[i].out_mm - from_[i].out_mm);
        const double there_mm = reach(along_mm, here_mm, pieces_[i].half_mm, level_mm, rises);
        edge_mm = rises ? std::min(edge_mm, there_mm) : std::max(edge_mm, there_mm);
      }
    }
    before.to_mm = run_.from_mm = static_cast<float>(edge_mm);
  }

  /// How far along the face a bead's disc reaches at a level, against its way where it rises there.
  static double reach(double along_mm, double out_mm, double half_mm, double level_mm, bool rises) {
    const double off_mm = level_mm - out_mm;
    const double squared = half_mm * half_mm - off_mm * off_mm;
    if (squared < 0) return rises ? 1e300 : -1e300;
    return rises ? along_mm - std::sqrt(squared) : along_mm + std::sqrt(squared);
  }

  static double share_nearest(double from, double to, double level) {
    if (from == to) return 0;
    return std::clamp((level - from) / (to - from), 0.0, 1.0);
  }

  static constexpr double longest_side_mm = 0.8;

  const FaceLine& line_;
  const IndexedLayer& layer_;
  const std::vector<WallPiece>& pieces_;
  StepLimits limits_;
  std::vector<FacePlace> from_;
  std::vector<FacePlace> to_;
  FaceRuns found_;
  FaceRun run_;
  bool open_ = false;
  double out_mm_ = 0;
  double weighted_mm2_ = 0;
  double run_mm_ = 0;
  std::vector<std::size_t> members_;  ///< pieces of the open run
  std::vector<std::size_t> side_;     ///< pieces since the last run
};

/// A depth, and how much of a wall lies around it.
struct CommonDepth {
  double at_mm = 0;
  double length_mm = 0;
};

/// The depth that most of the wall has.
CommonDepth densest_depth(std::vector<FaceRun> runs) {
  std::sort(runs.begin(), runs.end(), [](const FaceRun& a, const FaceRun& b) { return a.out_mm < b.out_mm; });
  const auto length = [](const FaceRun& run) { return static_cast<double>(run.to_mm - run.from_mm); };
  CommonDepth best{.at_mm = 0, .length_mm = -1};
  double sum_mm = 0;
  for (std::size_t first = 0, last = 0; last < runs.size(); ++last) {
    sum_mm += length(runs[last]);
    while (static_cast<double>(runs[last].out_mm - runs[first].out_mm) > same_level_mm) sum_mm -= length(runs[first++]);
    if (sum_mm > best.length_mm) best = {static_cast<double>(runs[first].out_mm + runs[last].out_mm) / 2, sum_mm};
  }
  return best;
}

bool lies_at_two_depths(const FaceRuns& runs) {
  const CommonDepth first = densest_depth(runs.runs);
  std::vector<FaceRun> others;
  for (const FaceRun& run : runs.runs)
    if (std::abs(static_cast<double>(run.out_mm) - first.at_mm) > same_level_mm / 2) others.push_back(run);
  const double other_mm = std::max(0.0, densest_depth(std::move(others)).length_mm);
  return first.length_mm + other_mm >= two_depths_share * runs.length_mm;
}

/// A line through the ends of what lies at one depth.
std::optional<FaceLine> line_through(const FaceLine& line, const FaceRuns& runs) {
  const double depth_mm = densest_depth(runs.runs).at_mm;
  const FaceRun* first = nullptr;
  const FaceRun* last = nullptr;
  for (const FaceRun& run : runs.runs) {
    if (std::abs(static_cast<double>(run.out_mm) - depth_mm) > same_level_mm / 2) continue;
    if (first == nullptr) first = &run;
    last = &run;
  }
  if (first == nullptr) return std::nullopt;
  const auto middle = [&](double along_mm, const FaceRun& run) {
    return line.place(along_mm, static_cast<double>(run.out_mm - run.half_mm));
  };
  const PlanePoint a = middle(static_cast<double>(first->from_mm), *first);
  const PlanePoint b = middle(static_cast<double>(last->to_mm), *last);
  const double length_mm = distance_mm(a, b);
  if (length_mm <= 0) return std::nullopt;
  return FaceLine{.origin = {(a.x + b.x) / 2, (a.y + b.y) / 2},
                  .way = {(b.x - a.x) / length_mm, (b.y - a.y) / length_mm}};
}

/// Least squares on x² + y² = 2ax + 2by + c; Kåsa 1976, from memory.
std::optional<FaceLine> circle_through(const std::vector<PlanePoint>& places, const std::vector<double>& weights) {
  PlanePoint middle;
  double sum = 0;
  for (std::size_t i = 0; i < places.size(); ++i) {
    middle.x += weights[i] * places[i].x;
    middle.y += weights[i] * places[i].y;
    sum += weights[i];
  }
  if (sum <= 0) return std::nullopt;
  middle = {middle.x / sum, middle.y / sum};
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
  Eigen::Vector3d right = Eigen::Vector3d::Zero();
  for (std::size_t i = 0; i < places.size(); ++i) {
    const double x = places[i].x - middle.x;
    const double y = places[i].y - middle.y;
    const Eigen::Vector3d row(2 * x, 2 * y, 1);
    normal += weights[i] * row * row.transpose();
    right += weights[i] * (x * x + y * y) * row;
  }
  const Eigen::Vector3d fit = normal.ldlt().solve(right);
  const double squared = fit[2] + fit[0] * fit[0] + fit[1] * fit[1];
  if (!(squared > 0)) return std::nullopt;
  FaceLine line{.origin = {middle.x + fit[0], middle.y + fit[1]}, .radius_mm = std::sqrt(squared)};
  if (line.radius_mm < least_radius_mm || line.radius_mm > most_radius_mm) return std::nullopt;
  return line;
}

/// Lets the length along a round face count from the middle of its relief, so that its ends lie behind.
void face_relief(FaceLine& line, const FaceRuns& runs) {
  const double depth_mm = densest_depth(runs.runs).at_mm;
  PlanePoint sum;
  for (const FaceRun& run : runs.runs) {
    if (std::abs(static_cast<double>(run.out_mm) - depth_mm) <= same_level_mm) continue;
    const double length_mm = static_cast<double>(run.to_mm - run.from_mm);
    const PlanePoint at = line.place(static_cast<double>(run.from_mm + run.to_mm) / 2, 0);
    sum = {sum.x + length_mm * (at.x - line.origin.x), sum.y + length_mm * (at.y - line.origin.y)};
  }
  const double length_mm = std::hypot(sum.x, sum.y);
  if (length_mm > 0) line.way = {sum.x / length_mm, sum.y / length_mm};
}

}  // namespace

FacePlace FaceLine::at(PlanePoint place) const {
  const double dx = place.x - origin.x;
  const double dy = place.y - origin.y;
  if (radius_mm == 0) return {dx * way.x + dy * way.y, dx * way.y - dy * way.x};
  const double from_centre_mm = std::hypot(dx, dy);
  const double turn_rad = std::atan2(way.x * dy - way.y * dx, way.x * dx + way.y * dy);
  return {radius_mm * turn_rad, from_centre_mm - radius_mm};
}

PlanePoint FaceLine::place(double along_mm, double out_mm) const {
  if (radius_mm == 0)
    return {origin.x + along_mm * way.x + out_mm * way.y, origin.y + along_mm * way.y - out_mm * way.x};
  const double turn_rad = along_mm / radius_mm;
  const double from_centre_mm = radius_mm + out_mm;
  const double cosine = std::cos(turn_rad);
  const double sine = std::sin(turn_rad);
  return {origin.x + from_centre_mm * (cosine * way.x - sine * way.y),
          origin.y + from_centre_mm * (sine * way.x + cosine * way.y)};
}

double FaceLine::outward_deg(double along_mm) const {
  const PlanePoint wall = place(along_mm, 0);
  const PlanePoint outside = place(along_mm, 1);
  const double deg = std::atan2(outside.y - wall.y, outside.x - wall.x) * 180 / std::numbers::pi;
  return deg < 0 ? deg + 360 : deg;
}

FaceRuns runs_along(const FaceLine& line, const IndexedLayer& layer, const std::vector<WallPiece>& pieces) {
  return RunFinder(line, layer, pieces).find();
}

bool carries_relief(const FaceRuns& runs) { return runs.steps >= 2 && runs.length_mm >= least_wall_mm; }

std::optional<FaceLine> straight_face(const IndexedLayer& layer, const std::vector<WallPiece>& pieces,
                                      const WallPiece& seed) {
  const double length_mm = distance_mm(seed.from, seed.to);
  if (length_mm <= 0) return std::nullopt;
  FaceLine line{.origin = seed.from,
                .way = {(seed.to.x - seed.from.x) / length_mm, (seed.to.y - seed.from.y) / length_mm}};
  const FaceRuns first = runs_along(line, layer, pieces);
  if (!carries_relief(first)) return std::nullopt;
  const auto through = line_through(line, first);
  if (!through || !lies_at_two_depths(runs_along(*through, layer, pieces))) return std::nullopt;
  return through;
}

std::optional<FaceLine> round_face(const IndexedLayer& layer, const std::vector<WallPiece>& pieces) {
  std::vector<PlanePoint> places;
  std::vector<double> lengths;
  double all_mm = 0;
  for (const WallPiece& piece : pieces) {
    places.push_back({(piece.from.x + piece.to.x) / 2, (piece.from.y + piece.to.y) / 2});
    lengths.push_back(distance_mm(piece.from, piece.to));
    all_mm += lengths.back();
  }
  std::optional<FaceLine> line = circle_through(places, lengths);
  for (const double within_mm : fits_within_mm) {
    if (!line) return std::nullopt;
    const FaceRuns runs = runs_along(*line, layer, pieces);
    if (!carries_relief(runs) || runs.length_mm < round_share * all_mm) return std::nullopt;
    const double depth_mm = densest_depth(runs.runs).at_mm;
    std::vector<double> weights = lengths;
    for (std::size_t i = 0; i < pieces.size(); ++i)
      if (std::abs(line->at(places[i]).out_mm + pieces[i].half_mm - depth_mm) > within_mm) weights[i] = 0;
    line = circle_through(places, weights);
  }
  if (!line) return std::nullopt;
  face_relief(*line, runs_along(*line, layer, pieces));
  return line;
}

}  // namespace beadwise
