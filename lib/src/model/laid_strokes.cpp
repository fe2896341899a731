#include "model/laid_strokes.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "model/role_kinds.hpp"
#include "model/track_samples.hpp"

namespace beadwise {

namespace {

constexpr double same_place_mm = 1e-3;
// A neighbour that lies tight reaches at least so far beyond the edge of a bead, in half widths of it.
constexpr double beside_halves = 1.3;
// Widths that differ by less are one width, rounded.
constexpr double even_ratio = 1.05;

bool goes_on(const Bead& before, const Bead& bead) {
  return std::abs(before.to_mm.x - bead.from_mm.x) <= same_place_mm &&
         std::abs(before.to_mm.y - bead.from_mm.y) <= same_place_mm;
}

bool has_width(const Bead& bead) { return std::isfinite(bead.width_mm) && bead.width_mm > 0; }

/// Whether beads of other strokes lie on both sides of the middle of one.
bool lies_between(const IndexedLayer& layer, const LaidStroke& stroke) {
  bool between = false;
  each_sample(footprints_of(layer.index, stroke.first, stroke.count), stroke.length_mm, 1,
              [&](const TrackSample& sample) {
                const double aside_mm = beside_halves * sample.width_mm / 2;
                const auto met = [&](PlanePoint place) {
                  bool found = false;
                  layer.index.near(place, place, 0, [&](const Footprint& other) {
                    const bool own = other.bead >= stroke.first && other.bead < stroke.first + stroke.count;
                    found = found || (!own && other.holds(place));
                  });
                  return found;
                };
                between = met(sample.aside(aside_mm)) && met(sample.aside(-aside_mm));
                return false;
              });
  return between;
}

/// Sums along a track, up to any place of it.
class TrackSums {
 public:
  enum What : std::size_t { length, width, volume, time };

  TrackSums(const std::vector<Bead>& beads, const Track& track) : first_(track.first) {
    sums_.reserve(track.count + 1);
    sums_.push_back({});
    for (std::uint32_t i = track.first; i < track.first + track.count; ++i) {
      const Bead& bead = beads[i];
      const double speed = static_cast<double>(bead.feedrate_mm_per_s);
      std::array<double, 4> sum = sums_.back();
      sum[length] += bead.path_mm;
      sum[width] += has_width(bead) ? bead.width_mm * bead.path_mm : 0;
      sum[volume] += bead.area_mm2 * bead.path_mm;
      sum[time] += speed > 0 ? bead.path_mm / speed : 0;
      sums_.push_back(sum);
    }
  }

  double length_mm() const { return sums_.back()[length]; }
  double begin_mm(std::uint32_t bead) const { return sums_[bead - first_][length]; }

  double between(What what, double from_mm, double to_mm) const { return at(what, to_mm) - at(what, from_mm); }

 private:
  double at(What what, double along_mm) const {
    const auto shorter = [](const std::array<double, 4>& sum, double mm) { return sum[length] < mm; };
    const auto next = std::lower_bound(sums_.begin(), sums_.end(), along_mm, shorter);
    if (next == sums_.begin()) return 0;
    if (next == sums_.end()) return sums_.back()[what];
    const auto before = next - 1;
    const double share = (along_mm - (*before)[length]) / ((*next)[length] - (*before)[length]);
    return (*before)[what] + share * ((*next)[what] - (*before)[what]);
  }

  std::uint32_t first_;
  std::vector<std::array<double, 4>> sums_;
};

bool is_step(double before, double after, double ratio) {
  return std::max(before, after) >= ratio * std::min(before, after) * (1 - 1e-9);
}

void add_steps(const std::vector<Bead>& beads, const Track& track, double ratio, double reach_mm,
               std::vector<WidthStep>& steps) {
  const auto differ = [](const Bead& a, const Bead& b) {
    return has_width(a) && has_width(b) && is_step(a.width_mm, b.width_mm, even_ratio);
  };
  if (track.length_mm < 2 * reach_mm) return;
  const auto begin = beads.begin() + track.first;
  if (std::adjacent_find(begin, begin + track.count, differ) == begin + track.count) return;
  const TrackSums sums(beads, track);
  double from_mm = reach_mm;
  for (std::uint32_t i = track.first + 1; i < track.first + track.count; ++i) {
    const double at_mm = sums.begin_mm(i);
    if (!differ(beads[i - 1], beads[i]) || at_mm < from_mm || at_mm + reach_mm > sums.length_mm()) continue;
    const auto mean = [&](TrackSums::What what, TrackSums::What over, double low_mm) {
      return sums.between(what, low_mm, low_mm + reach_mm) / sums.between(over, low_mm, low_mm + reach_mm);
    };
    const double before_mm = mean(TrackSums::width, TrackSums::length, at_mm - reach_mm);
    const double after_mm = mean(TrackSums::width, TrackSums::length, at_mm);
    const double flow_before = mean(TrackSums::volume, TrackSums::time, at_mm - reach_mm);
    const double flow_after = mean(TrackSums::volume, TrackSums::time, at_mm);
    if (!is_step(before_mm, after_mm, ratio) || !is_step(flow_before, flow_after, ratio)) continue;
    steps.push_back({i, before_mm, after_mm});
    from_mm = at_mm + reach_mm;
  }
}

}  // namespace

std::vector<LaidStroke> laid_strokes(const IndexedLayer& layer, const std::vector<bool>& wanted) {
  const std::vector<Bead>& beads = layer.layer.beads;
  std::vector<LaidStroke> strokes;
  for (std::uint32_t first = 0; first < beads.size();) {
    LaidStroke stroke{.first = first};
    bool fill = true;
    bool plausible = true;
    do {
      const Bead& bead = beads[first];
      ++stroke.count;
      stroke.length_mm += bead.path_mm;
      stroke.filament_mm += static_cast<double>(bead.filament_mm);
      stroke.width_mm += bead.width_mm * bead.path_mm;
      plausible = plausible && has_width(bead);
      fill = fill && is_fill(layer.roles[first]);
    } while (++first < beads.size() && goes_on(beads[first - 1], beads[first]));
    if (!plausible || !wanted[layer.track_of[stroke.first]]) continue;
    stroke.width_mm /= stroke.length_mm;
    stroke.enclosed = fill || lies_between(layer, stroke);
    strokes.push_back(stroke);
  }
  return strokes;
}

std::vector<WidthStep> width_steps(const IndexedLayer& layer, const std::vector<bool>& wanted, double ratio,
                                   double reach_mm) {
  std::vector<WidthStep> steps;
  for (std::size_t i = 0; i < layer.tracks.size(); ++i)
    if (wanted[i]) add_steps(layer.layer.beads, layer.tracks[i], ratio, reach_mm, steps);
  return steps;
}

}  // namespace beadwise
