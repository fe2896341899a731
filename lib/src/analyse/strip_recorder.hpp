#pragma once

#include <optional>
#include <vector>

#include "beadwise/picture.hpp"
#include "beadwise/profile.hpp"
#include "model/filament_line.hpp"
#include "model/melt_zone.hpp"
#include "model/time_series.hpp"

namespace beadwise {

/// Follows what a job does over its printing time and along its filament, to be drawn as strips.
class StripRecorder {
 public:
  explicit StripRecorder(const Profile& profile);

  void on_moves(const MoveBatch& batch);
  /// Of a job of that length.
  std::vector<Strip> strips(double duration_s);

 private:
  Strip flow(double duration_s) const;
  std::optional<Strip> core(double duration_s) const;
  Strip speed(double duration_s) const;

  double filament_mm2_ = 0;
  std::optional<MeltSetup> melt_setup_;
  std::optional<MeltRecord> melt_;
  TimeSeries flow_;
  TimeSeries speed_;
  TimeSeries asked_;
  TimeSeries heated_;
  TimeSeries core_;
  FilamentLine filament_;
};

}  // namespace beadwise
