#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "beadwise/move.hpp"

namespace beadwise {

/// How fast a corner may be taken, in one of three forms.
struct CornerRule {
  enum class Form : std::uint8_t {
    right_angle_speed,  ///< value: mm/s kept through a right angle, at any acceleration
    deviation,          ///< value: mm, distance of the tangent circle from the corner
    speed_change,       ///< value and value_y: mm/s by which the speed along X and along Y may jump
  };
  Form form = Form::right_angle_speed;
  double value = 5;
  double value_y = 5;
};

/// What bounds one move.
struct MoveLimits {
  double speed_mm_per_s = 0;          ///< after every limit
  double acceleration_mm_per_s2 = 0;  ///< along the path (or the filament)
  CornerRule corner;
};

/// sin(φ/2)/(1 − sin(φ/2)) for the interior angle φ between two unit directions: the radius of the circle that is
/// tangent to both legs and passes at distance 1 from the corner. Infinite for a straight run, 0 for a reversal.
double tangent_circle_ratio(double dot);

/// Speed through the corner between two unit directions, mm/s; plane geometry and v² = a R.
double corner_speed_mm_per_s(const CornerRule& rule, double acceleration_mm_per_s2, const std::array<double, 3>& in,
                             const std::array<double, 3>& out);

/// Time for `path_mm` along a profile; trapezoid or triangle.
/// Lynch and Park, Modern Robotics (2017), section 9.2.2.2 (from memory).
double duration_s(const SpeedProfile& profile, double path_mm);

/// The profile of a move between two speeds that it can keep: |exit² − entry²| <= 2 a d.
SpeedProfile profile_between(double entry_mm_per_s, double exit_mm_per_s, double limit_mm_per_s,
                             double acceleration_mm_per_s2, double path_mm);

/// Looks ahead over a window of moves and gives each its speed profile and duration.
/// Entry and exit speeds are such that all moves in the window can be kept and the window's end is a stop.
class MotionPlan {
 public:
  /// So many moves beyond those released are known, except at the end of the job.
  static constexpr std::size_t look_ahead = 512;

  /// Takes the next move, in order. `arc` is null for a straight one. A move without a motion takes no part.
  void add(const Move& move, const Arc* arc, const MoveLimits& limits);

  /// Plans what was taken and writes profiles and durations to the first `count` of `moves`, the oldest ones taken and
  /// not yet released.
  void release(std::vector<Move>& moves, std::size_t count);

 private:
  struct Direction {
    std::array<double, 3> vector{};
    bool filament_only = false;
    bool forward = true;
    bool known = false;
    bool on_arc = false;
  };
  struct Leg {
    std::uint64_t move = 0;  ///< count of moves taken before it
    double path_mm = 0;
    double speed_mm_per_s = 0;
    double acceleration_mm_per_s2 = 0;
    double corner_mm_per_s = 0;  ///< through the corner before it
    double turn_rad = 0;         ///< of that corner, where it is small; positive against the clock; else 0
    double entry_mm_per_s = 0;
  };

  void add_corner(Leg& leg, const Direction& entry, const MoveLimits& limits) const;
  double curvature_cap_mm_per_s(std::size_t leg) const;
  void plan();
  void drop_released();

  std::vector<Leg> legs_;
  std::size_t first_ = 0;  ///< the first leg not released; a few before it stay for the curvature
  Direction last_;         ///< at the end of the last leg
  std::uint64_t taken_ = 0;
  std::uint64_t released_ = 0;
  double entry_mm_per_s_ = 0;  ///< into the first leg that is not released
};

}  // namespace beadwise
