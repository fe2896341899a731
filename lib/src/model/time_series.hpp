#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "beadwise/job.hpp"
#include "beadwise/move.hpp"

namespace beadwise {

/// A quantity over the time of a job in at most `most_rows` even steps, however long the job is: where it would need
/// more, two steps become one.
class TimeSeries {
 public:
  static constexpr std::size_t most_rows = 4096;
  static constexpr double first_step_s = 0.1;

  /// A stretch of time over which the quantity runs evenly from one value to another.
  void add(double start_s, double duration_s, double first, double last);

  /// A value at one time, of a quantity that is known now and then only. A series is made of stretches or of points.
  void add_point(double time_s, double value);

  /// From time 0 to the last stretch. Of stretches the mean is over the whole step, which has nothing where no stretch
  /// lies; of points it is that of the points, and steps without any are left out.
  std::vector<SeriesRow> rows() const;

 private:
  struct Step {
    double integral = 0;  ///< over time, or the sum of the points
    std::uint64_t points = 0;
    double least = 0;
    double most = 0;
    bool used = false;
  };
  void make_room(double end_s);
  void widen();
  static void add_to(Step& step, double integral, double first, double last);

  std::vector<Step> steps_;
  double step_s_ = first_step_s;
  bool of_points_ = false;
};

/// The three phases of a move in time, as stretches: calls `visit(start_s, duration_s, first_mm_per_s, last_mm_per_s)`.
template <class Visit>
void for_each_phase(const Move& move, Visit&& visit) {
  const SpeedProfile& speed = move.speed;
  const double a = speed.acceleration_mm_per_s2;
  const double up_s = a > 0 ? (speed.peak_mm_per_s - speed.entry_mm_per_s) / a : 0;
  const double down_s = a > 0 ? (speed.peak_mm_per_s - speed.exit_mm_per_s) / a : 0;
  const double along_s = move.duration_s > up_s + down_s ? move.duration_s - up_s - down_s : 0;
  visit(move.start_s, up_s, speed.entry_mm_per_s, speed.peak_mm_per_s);
  visit(move.start_s + up_s, along_s, speed.peak_mm_per_s, speed.peak_mm_per_s);
  visit(move.start_s + up_s + along_s, down_s, speed.peak_mm_per_s, speed.exit_mm_per_s);
}

}  // namespace beadwise
