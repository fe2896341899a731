#include "machine/motion_plan.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "machine/arcs.hpp"

namespace beadwise {

namespace {

constexpr double least_path_mm = 1e-9;
// Facets of a curve turn by less than this; sharper corners are corners.
constexpr double small_turn_rad = std::numbers::pi / 6;
constexpr double no_turn_rad = 1e-6;
// Legs that a curvature reaches back over.
constexpr std::size_t curvature_legs = 3;

double dot(const std::array<double, 3>& a, const std::array<double, 3>& b) {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

double reachable_mm_per_s(double speed_mm_per_s, double acceleration_mm_per_s2, double path_mm) {
  return std::sqrt(speed_mm_per_s * speed_mm_per_s + 2 * acceleration_mm_per_s2 * path_mm);
}

std::array<double, 3> straight(const Move& move) {
  return {(move.to_mm.x - move.from_mm.x) / move.path_mm, (move.to_mm.y - move.from_mm.y) / move.path_mm,
          (move.to_mm.z - move.from_mm.z) / move.path_mm};
}

double climb_of(const Move& move, const Arc& arc) {
  if (arc.plane == 18) return move.to_mm.y - move.from_mm.y;
  if (arc.plane == 19) return move.to_mm.x - move.from_mm.x;
  return move.to_mm.z - move.from_mm.z;
}

}  // namespace

double tangent_circle_ratio(double dot) {
  // φ is the angle between the legs as seen from the corner: cos φ = −dot, so sin²(φ/2) = (1 + dot)/2.
  const double half_sine = std::sqrt(std::clamp((1 + dot) / 2, 0.0, 1.0));
  if (half_sine >= 1) return std::numeric_limits<double>::infinity();
  return half_sine / (1 - half_sine);
}

double corner_speed_mm_per_s(const CornerRule& rule, double acceleration_mm_per_s2, const std::array<double, 3>& in,
                             const std::array<double, 3>& out) {
  const double ratio = tangent_circle_ratio(dot(in, out));
  switch (rule.form) {
    case CornerRule::Form::right_angle_speed: {
      // v² = a δ ratio, with δ such that a right angle is taken at the given speed: a falls out.
      static const double right_angle = tangent_circle_ratio(0);
      return rule.value * std::sqrt(ratio / right_angle);
    }
    case CornerRule::Form::deviation:
      return std::sqrt(acceleration_mm_per_s2 * rule.value * ratio);
    case CornerRule::Form::speed_change:
      break;
  }
  double speed = std::numeric_limits<double>::infinity();
  const double change_x = std::abs(out[0] - in[0]);
  const double change_y = std::abs(out[1] - in[1]);
  if (change_x > no_turn_rad) speed = std::min(speed, rule.value / change_x);
  if (change_y > no_turn_rad) speed = std::min(speed, rule.value_y / change_y);
  return speed;
}

double duration_s(const SpeedProfile& profile, double path_mm) {
  const double a = profile.acceleration_mm_per_s2;
  const double peak = profile.peak_mm_per_s;
  if (peak <= 0) return 0;
  if (a <= 0) return path_mm / peak;
  const double up = peak - profile.entry_mm_per_s;
  const double down = peak - profile.exit_mm_per_s;
  const double ramps_mm = (peak * peak - profile.entry_mm_per_s * profile.entry_mm_per_s) / (2 * a) +
                          (peak * peak - profile.exit_mm_per_s * profile.exit_mm_per_s) / (2 * a);
  return (up + down) / a + std::max(0.0, path_mm - ramps_mm) / peak;
}

SpeedProfile profile_between(double entry_mm_per_s, double exit_mm_per_s, double limit_mm_per_s,
                             double acceleration_mm_per_s2, double path_mm) {
  const double apex = std::sqrt(acceleration_mm_per_s2 * path_mm +
                                (entry_mm_per_s * entry_mm_per_s + exit_mm_per_s * exit_mm_per_s) / 2);
  const double peak = std::max({std::min(apex, limit_mm_per_s), entry_mm_per_s, exit_mm_per_s});
  return {entry_mm_per_s, peak, exit_mm_per_s, acceleration_mm_per_s2};
}

void MotionPlan::add(const Move& move, const Arc* arc, const MoveLimits& limits) {
  const std::uint64_t index = taken_++;
  const bool filament_only = move.path_mm <= least_path_mm;
  Leg leg;
  leg.move = index;
  leg.path_mm = filament_only ? std::abs(move.filament_mm) : move.path_mm;
  leg.speed_mm_per_s = limits.speed_mm_per_s;
  leg.acceleration_mm_per_s2 = limits.acceleration_mm_per_s2;
  if (move.after_stop) last_.known = false;
  if (leg.path_mm <= least_path_mm || leg.speed_mm_per_s <= 0) return;

  Direction entry;
  entry.known = true;
  entry.filament_only = filament_only;
  entry.forward = move.filament_mm > 0;
  entry.on_arc = arc != nullptr;
  Direction exit = entry;
  if (arc != nullptr) {
    entry.vector = direction_on_arc(*arc, move.path_mm, climb_of(move, *arc), 0);
    exit.vector = direction_on_arc(*arc, move.path_mm, climb_of(move, *arc), 1);
    leg.speed_mm_per_s = std::min(leg.speed_mm_per_s, std::sqrt(leg.acceleration_mm_per_s2 * arc->radius_mm));
  } else if (!filament_only) {
    entry.vector = exit.vector = straight(move);
  }
  add_corner(leg, entry, limits);
  legs_.push_back(leg);
  last_ = exit;
}

void MotionPlan::add_corner(Leg& leg, const Direction& entry, const MoveLimits& limits) const {
  if (!last_.known || legs_.empty()) return;
  const Leg& before = legs_.back();
  const double slower = std::min(before.speed_mm_per_s, leg.speed_mm_per_s);
  if (entry.filament_only || last_.filament_only) {
    // The head stands where the extruder alone moves; pulls or pushes in one direction run into each other.
    const bool same = entry.filament_only && last_.filament_only && entry.forward == last_.forward;
    leg.corner_mm_per_s = same ? slower : 0;
    return;
  }
  const double acceleration = std::min(before.acceleration_mm_per_s2, leg.acceleration_mm_per_s2);
  leg.corner_mm_per_s =
      std::min(slower, corner_speed_mm_per_s(limits.corner, acceleration, last_.vector, entry.vector));
  if (entry.on_arc || last_.on_arc) return;
  const double cross = last_.vector[0] * entry.vector[1] - last_.vector[1] * entry.vector[0];
  const double turn = std::atan2(cross, dot(last_.vector, entry.vector));
  if (std::abs(turn) > no_turn_rad && std::abs(turn) < small_turn_rad) leg.turn_rad = turn;
}

double MotionPlan::curvature_cap_mm_per_s(std::size_t leg) const {
  const double turn = legs_[leg].turn_rad;
  if (turn == 0 || leg == 0) return std::numeric_limits<double>::infinity();
  const auto alike = [&](std::size_t i) { return i < legs_.size() && legs_[i].turn_rad * turn > 0; };
  const bool before1 = alike(leg - 1);
  const bool after1 = alike(leg + 1);
  const bool in_run = (before1 && after1) || (before1 && leg >= 2 && alike(leg - 2)) || (after1 && alike(leg + 2));
  if (!in_run) return std::numeric_limits<double>::infinity();
  const double radius_mm = (legs_[leg - 1].path_mm + legs_[leg].path_mm) / 2 / std::abs(turn);
  const double acceleration = std::min(legs_[leg - 1].acceleration_mm_per_s2, legs_[leg].acceleration_mm_per_s2);
  return std::sqrt(acceleration * radius_mm);
}

void MotionPlan::plan() {
  if (first_ >= legs_.size()) return;
  double exit_mm_per_s = 0;
  for (std::size_t i = legs_.size(); i-- > first_;) {
    Leg& leg = legs_[i];
    const double limit = std::min(leg.corner_mm_per_s, curvature_cap_mm_per_s(i));
    leg.entry_mm_per_s = std::min(limit, reachable_mm_per_s(exit_mm_per_s, leg.acceleration_mm_per_s2, leg.path_mm));
    exit_mm_per_s = leg.entry_mm_per_s;
  }
  legs_[first_].entry_mm_per_s = entry_mm_per_s_;
  for (std::size_t i = first_; i + 1 < legs_.size(); ++i) {
    const Leg& leg = legs_[i];
    const double reach = reachable_mm_per_s(leg.entry_mm_per_s, leg.acceleration_mm_per_s2, leg.path_mm);
    legs_[i + 1].entry_mm_per_s = std::min(legs_[i + 1].entry_mm_per_s, reach);
  }
}

void MotionPlan::release(std::vector<Move>& moves, std::size_t count) {
  plan();
  const std::uint64_t end = released_ + count;
  std::size_t i = first_;
  for (; i < legs_.size() && legs_[i].move < end; ++i) {
    const Leg& leg = legs_[i];
    const double exit = i + 1 < legs_.size() ? legs_[i + 1].entry_mm_per_s : 0;
    Move& move = moves[static_cast<std::size_t>(leg.move - released_)];
    move.speed = profile_between(leg.entry_mm_per_s, exit, leg.speed_mm_per_s, leg.acceleration_mm_per_s2, leg.path_mm);
    move.duration_s = duration_s(move.speed, leg.path_mm);
    entry_mm_per_s_ = exit;
  }
  first_ = i;
  released_ = end;
  drop_released();
}

void MotionPlan::drop_released() {
  if (first_ <= curvature_legs) return;
  const auto gone = static_cast<std::ptrdiff_t>(first_ - curvature_legs);
  legs_.erase(legs_.begin(), legs_.begin() + gone);
  first_ = curvature_legs;
}

}  // namespace beadwise
