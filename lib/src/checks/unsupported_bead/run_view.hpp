#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

#include "checks/unsupported_bead/spots.hpp"
#include "model/bare_runs.hpp"
#include "model/track_samples.hpp"

namespace beadwise::checks::unsupported_bead {

inline PlanePoint on_piece(const Footprint& piece, double share) {
  const PlanePoint a = piece.from();
  const PlanePoint b = piece.to();
  return {a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)};
}

inline double piece_length_mm(const Footprint& piece) {
  return std::hypot(piece.to().x - piece.from().x, piece.to().y - piece.from().y);
}

/// A place on a run.
struct Sample {
  PlanePoint at;
  PlanePoint across;
  double length_mm = 0;  ///< for which it stands
};

/// Looks along the bare runs of a layer.
class RunView {
 public:
  void look_at(const IndexedLayer& layer) { layer_ = &layer; }

  /// Calls `visit(piece, from, to)` for each straight piece of a run, with the shares of it between which the run lies.
  template <class Visit>
  void each_part(const BareRun& run, Visit&& visit) const {
    const Track& track = layer_->tracks[run.track];
    const FootprintRun pieces = footprints_of(layer_->index, track.first, track.count);
    const auto first = static_cast<std::uint32_t>(pieces.first - layer_->index.footprints().data());
    const auto last = static_cast<std::uint32_t>(pieces.last - layer_->index.footprints().data());
    for (std::uint32_t piece = run.first_piece;; piece = piece + 1 < last ? piece + 1 : first) {
      const bool is_first = piece == run.first_piece;
      const bool is_last = piece == run.last_piece;
      visit(piece, is_first ? run.first_share : 0.0, is_last ? run.last_share : 1.0);
      if (is_last) return;
    }
  }

  /// A few places on each part of a run; until the next run is asked.
  const std::vector<Sample>& samples(const BareRun& run) {
    constexpr double most_samples = 3;
    samples_.clear();
    each_part(run, [&](std::uint32_t at, double from, double to) {
      const Footprint& piece = layer_->index.footprints()[at];
      const double piece_mm = piece_length_mm(piece);
      if (!(piece_mm > 0)) return;
      const PlanePoint across{(piece.from().y - piece.to().y) / piece_mm, (piece.to().x - piece.from().x) / piece_mm};
      const double count = std::clamp(std::ceil((to - from) * piece_mm), 1.0, most_samples);
      for (double i = 0; i < count; ++i)
        samples_.push_back({.at = on_piece(piece, from + (i + 0.5) / count * (to - from)),
                            .across = across,
                            .length_mm = (to - from) * piece_mm / count});
    });
    return samples_;
  }

  /// What there is to tell about a run, but its kind and place.
  Spot spot_of(const BareRun& run) const {
    Spot spot;
    double time_s = 0;
    double fan_mm = 0;
    each_part(run, [&](std::uint32_t at, double from, double to) {
      const Footprint& piece = layer_->index.footprints()[at];
      const Bead& bead = layer_->layer.beads[piece.bead];
      const double length_mm = (to - from) * piece_length_mm(piece);
      spot.path_mm += length_mm;
      spot.area_mm2 += length_mm * 2 * piece.half_mm();
      fan_mm += length_mm * static_cast<double>(bead.fan_ratio);
      if (speed_of(bead) > 0) time_s += length_mm / speed_of(bead);
      for (const double share : {from, to}) spot.add_point(on_piece(piece, share), layer_->layer.z_mm);
    });
    spot.fan_ratio = fan_mm / spot.path_mm;
    spot.speed_mm_per_s = time_s > 0 ? spot.path_mm / time_s : 0;
    return spot;
  }

 private:
  /// As planned: short beads never reach what is commanded.
  static double speed_of(const Bead& bead) {
    return bead.duration_s > 0 ? bead.path_mm / static_cast<double>(bead.duration_s)
                               : static_cast<double>(bead.feedrate_mm_per_s);
  }

  const IndexedLayer* layer_ = nullptr;
  std::vector<Sample> samples_;
};

/// The share of a run's length for which something holds.
template <class Holds>
double share_of(const std::vector<Sample>& samples, Holds&& holds) {
  double all_mm = 0;
  double holding_mm = 0;
  for (const Sample& sample : samples) {
    all_mm += sample.length_mm;
    if (holds(sample)) holding_mm += sample.length_mm;
  }
  return all_mm > 0 ? holding_mm / all_mm : 0;
}

}  // namespace beadwise::checks::unsupported_bead
