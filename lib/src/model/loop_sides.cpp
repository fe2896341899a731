#include "model/loop_sides.hpp"

#include <algorithm>
#include <array>
#include <limits>
#include <optional>

#include "model/track_samples.hpp"

namespace beadwise {

namespace {

constexpr int most_samples = 16;
constexpr int fewest_samples = 6;
// A bead that touches the loop covers a place this many widths aside, and so does one that misses it by less than four
// tenths of a width.
constexpr double beside_widths = 0.9;
constexpr int most_looks = 6;
// Sparse strokes lie a few millimetres apart: common practice.
constexpr double first_step_mm = 4;

/// How far one can go from a place before a box ends.
double way_within(const Box& box, PlanePoint place, PlanePoint way) {
  double until_mm = std::numeric_limits<double>::max();
  if (way.x > 0) until_mm = std::min(until_mm, (box.high.x - place.x) / way.x);
  if (way.x < 0) until_mm = std::min(until_mm, (box.low.x - place.x) / way.x);
  if (way.y > 0) until_mm = std::min(until_mm, (box.high.y - place.y) / way.y);
  if (way.y < 0) until_mm = std::min(until_mm, (box.low.y - place.y) / way.y);
  return until_mm;
}

/// The bead that one meets first.
std::optional<std::uint32_t> first_met(const BeadIndex& index, PlanePoint from, PlanePoint way, double until_mm) {
  double step_mm = first_step_mm;
  for (double gone_mm = 0; gone_mm < until_mm; gone_mm += step_mm, step_mm *= 2) {
    const double to_mm = std::min(until_mm, gone_mm + step_mm);
    const PlanePoint a{from.x + gone_mm * way.x, from.y + gone_mm * way.y};
    const PlanePoint b{from.x + to_mm * way.x, from.y + to_mm * way.y};
    std::optional<std::uint32_t> met;
    double met_at = 2;
    index.near(a, b, 0, [&](const Footprint& footprint) {
      const auto part = part_within(a, b, footprint.from(), footprint.to(), footprint.half_mm());
      if (!part || part->from > met_at || (part->from == met_at && met && *met <= footprint.bead)) return;
      met = footprint.bead;
      met_at = part->from;
    });
    if (met) return met;
  }
  return std::nullopt;
}

/// Places beside a loop, on one side of it.
struct Side {
  std::array<TrackSample, most_samples> bare{};
  int bare_count = 0;
  double sign = 1;
};

/// Whether strokes lie next on a side that is bare beside the loop.
bool meets_fill(const IndexedLayer& layer, const Loop& loop, const Side& side) {
  const std::uint32_t island = layer.island_of[loop.first];
  int met = 0;
  const int looks = std::min(side.bare_count, most_looks);
  for (int i = 0; i < looks; ++i) {
    const TrackSample& sample = side.bare[static_cast<std::size_t>(i * side.bare_count / looks)];
    const PlanePoint from = sample.aside(side.sign * beside_widths * sample.width_mm);
    const PlanePoint way{side.sign * sample.left.x, side.sign * sample.left.y};
    const auto bead = first_met(layer.index, from, way, way_within(layer.islands[island].box_mm, from, way));
    if (bead && layer.island_of[*bead] == island && !layer.tracks[layer.track_of[*bead]].closed) ++met;
  }
  return 3 * met >= looks;
}

}  // namespace

LoopSides sides_of_loop(const IndexedLayer& layer, const Loop& loop, bool has_fill) {
  const int samples = std::clamp(static_cast<int>(loop.beads), fewest_samples, most_samples);
  Side left{.bare = {}, .bare_count = 0, .sign = 1};
  Side right{.bare = {}, .bare_count = 0, .sign = -1};
  each_sample(footprints_of(layer.index, loop.first, loop.beads), loop.length_mm, samples,
              [&](const TrackSample& sample) {
                for (Side* side : {&left, &right}) {
                  if (layer.index.covers(sample.aside(side->sign * beside_widths * sample.width_mm))) continue;
                  if (side->bare_count < most_samples)
                    side->bare[static_cast<std::size_t>(side->bare_count++)] = sample;
                }
                return true;
              });
  const auto is_free = [&](const Side& side) {
    return 2 * side.bare_count > samples && !(has_fill && meets_fill(layer, loop, side));
  };
  return {is_free(left), is_free(right)};
}

}  // namespace beadwise
