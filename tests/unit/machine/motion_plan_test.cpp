#include "machine/motion_plan.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "support/near.hpp"
#include "support/print.hpp"

using namespace beadwise;
using beadwise::tests::Dice;
using beadwise::tests::near;

namespace {

Move straight(const Point& from, const Point& to) {
  Move move;
  move.from_mm = from;
  move.to_mm = to;
  move.path_mm = std::hypot(to.x - from.x, to.y - from.y, to.z - from.z);
  move.kind = MoveKind::travel;
  return move;
}

std::vector<Move> path_through(const std::vector<Point>& points) {
  std::vector<Move> moves;
  for (std::size_t i = 1; i < points.size(); ++i) moves.push_back(straight(points[i - 1], points[i]));
  return moves;
}

double planned_s(std::vector<Move> moves, const MoveLimits& limits) {
  MotionPlan plan;
  for (const Move& move : moves) plan.add(move, nullptr, limits);
  plan.release(moves, moves.size());
  double total_s = 0;
  for (const Move& move : moves) total_s += move.duration_s;
  return total_s;
}

MoveLimits limits(double speed, double acceleration, CornerRule corner = {}) { return {speed, acceleration, corner}; }

constexpr double degree = std::numbers::pi / 180;

}  // namespace

TEST_CASE("a move with constant acceleration takes the time of its trapezoid or triangle") {
  // Lynch and Park, Modern Robotics (2017), section 9.2.2.2; each row follows from v = a t and d = a t²/2.
  struct Row {
    double path, entry, exit, limit, acceleration, peak, time;
  };
  const Row rows[] = {{100, 0, 0, 100, 1000, 100, 1.1},
                      {10, 0, 0, 100, 1000, 100, 0.2},
                      {5, 0, 0, 100, 1000, 70.7107, 0.141421},
                      {1, 0, 0, 100, 1000, 31.6228, 0.063246},
                      {50, 0, 0, 150, 3000, 150, 0.383333},
                      {2, 0, 0, 150, 500, 31.6228, 0.126491},
                      {20, 10, 10, 100, 1000, 100, 0.281},
                      {20, 0, 50, 100, 1000, 100, 0.2625},
                      {3, 30, 10, 100, 1000, 59.1608, 0.078322},
                      {1, 0, 0, 1, 2, 1, 1.5},
                      {1, 0, 0, 0.5, 1, 0.5, 2.5},
                      {1, 0, 0, 2, 5, 2, 0.9}};
  for (const Row& row : rows) {
    CAPTURE(row.path);
    const SpeedProfile profile = profile_between(row.entry, row.exit, row.limit, row.acceleration, row.path);
    CHECK(near(profile.peak_mm_per_s, row.peak, 1e-4));
    CHECK(near(duration_s(profile, row.path), row.time, 1e-6));
  }
}

TEST_CASE("a head that is too fast for the length left to it was slowed down before") {
  // From 50 mm/s no stop within 1 mm at 1000 mm/s²: √(2·1000·1) = 44.7214 mm/s is what can be stopped.
  std::vector<Move> moves = path_through({{0, 0, 0}, {100, 0, 0}, {101, 0, 0}});
  MotionPlan plan;
  for (const Move& move : moves) plan.add(move, nullptr, limits(50, 1000));
  plan.release(moves, 2);
  CHECK(near(moves[0].speed.exit_mm_per_s, 44.7214, 1e-4));
  CHECK(near(moves[1].duration_s, 0.044721, 1e-6));
}

TEST_CASE("a corner is taken at the speed of the circle that is tangent to both legs") {
  // R = δ sin(φ/2)/(1 − sin(φ/2)), v = √(a R), φ the interior angle: plane geometry and v² = a R.
  struct Row {
    double angle_deg, radius_mm, speed_1000, speed_3000;
  };
  const Row rows[] = {{10, 0.00477, 2.1849, 2.3935},    {45, 0.03100, 5.5674, 6.0988},
                      {60, 0.05000, 7.0711, 7.7460},    {90, 0.12071, 10.9868, 12.0355},
                      {120, 0.32321, 17.9779, 19.6938}, {135, 0.60685, 24.6344, 26.9856},
                      {150, 1.41739, 37.6482, 41.2415}, {170, 13.0896, 114.410, 125.330}};
  for (const Row& row : rows) {
    CAPTURE(row.angle_deg);
    const double turn = (180 - row.angle_deg) * degree;
    const std::array<double, 3> in{1, 0, 0};
    const std::array<double, 3> out{std::cos(turn), std::sin(turn), 0};
    CHECK(near(0.05 * tangent_circle_ratio(std::cos(turn)), row.radius_mm, 1e-4));
    const CornerRule wide{CornerRule::Form::deviation, 0.05, 0.05};
    const CornerRule tight{CornerRule::Form::deviation, 0.02, 0.02};
    CHECK(near(corner_speed_mm_per_s(wide, 1000, in, out), row.speed_1000, 1e-3));
    CHECK(near(corner_speed_mm_per_s(tight, 3000, in, out), row.speed_3000, 1e-3));
  }
  const CornerRule wide{CornerRule::Form::deviation, 0.05, 0.05};
  CHECK(corner_speed_mm_per_s(wide, 1000, {1, 0, 0}, {-1, 0, 0}) == 0);
}

TEST_CASE("a right angle is taken at the corner speed of the machine, whatever its acceleration") {
  const CornerRule rule{CornerRule::Form::right_angle_speed, 5, 5};
  CHECK(near(corner_speed_mm_per_s(rule, 500, {1, 0, 0}, {0, 1, 0}), 5, 1e-12));
  CHECK(near(corner_speed_mm_per_s(rule, 9000, {1, 0, 0}, {0, 1, 0}), 5, 1e-12));
}

TEST_CASE("an instantaneous speed change bounds the change along each axis") {
  const CornerRule rule{CornerRule::Form::speed_change, 8, 6};
  CHECK(near(corner_speed_mm_per_s(rule, 1000, {1, 0, 0}, {0, 1, 0}), 6, 1e-12));
  CHECK(near(corner_speed_mm_per_s(rule, 1000, {1, 0, 0}, {-1, 0, 0}), 4, 1e-12));
}

TEST_CASE("a square of 20 mm takes 1.1377003 s") {
  // Sides of 20 mm, 100 mm/s, 1000 mm/s², corner deviation 0.05 mm: corners at 10.98684 mm/s, sides of 0.2896168,
  // 0.2792334, 0.2792334 and 0.2896168 s.
  const auto moves = path_through({{0, 0, 0}, {20, 0, 0}, {20, 20, 0}, {0, 20, 0}, {0, 0, 0}});
  const CornerRule corner{CornerRule::Form::deviation, 0.05, 0.05};
  CHECK(near(planned_s(moves, limits(100, 1000, corner)), 1.1377003, 5e-8));
}

TEST_CASE("the facets of a circle are not taken faster than the circle") {
  // Radius 10 mm at 1000 mm/s²: √(a r) = 100 mm/s, though a corner of 256 facets alone would allow 814.8 mm/s.
  for (const int facets : {64, 256}) {
    CAPTURE(facets);
    std::vector<Point> points;
    for (int i = 0; i <= 3 * facets; ++i) {
      const double angle = 2 * std::numbers::pi * i / facets;
      points.push_back({10 * std::cos(angle), 10 * std::sin(angle), 0});
    }
    std::vector<Move> moves = path_through(points);
    const CornerRule corner{CornerRule::Form::deviation, 0.05, 0.05};
    MotionPlan plan;
    for (const Move& move : moves) plan.add(move, nullptr, limits(500, 1000, corner));
    plan.release(moves, moves.size());
    // The facets are chords: length/turn is the radius of the inscribed circle, r cos(π/n).
    const double expected = std::sqrt(1000 * 10 * std::sin(std::numbers::pi / facets) / (std::numbers::pi / facets));
    CHECK(near(moves[moves.size() / 2].speed.entry_mm_per_s, expected, 1e-6));
  }
}

TEST_CASE("a straight move that is cut in pieces takes as long as before") {
  const std::vector<Point> whole{{0, 0, 0}, {60, 0, 0}, {60, 8, 0}};
  const std::vector<Point> cut{{0, 0, 0}, {7, 0, 0}, {7.01, 0, 0}, {33, 0, 0}, {60, 0, 0}, {60, 3, 0}, {60, 8, 0}};
  CHECK(near(planned_s(path_through(whole), limits(120, 1500)), planned_s(path_through(cut), limits(120, 1500)), 1e-9));
}

TEST_CASE("a path takes as long backwards") {
  Dice dice(20);
  for (int round = 0; round < 20; ++round) {
    std::vector<Point> points{{0, 0, 0}};
    for (int i = 0; i < 60; ++i)
      points.push_back({points.back().x + static_cast<double>(dice.roll(2000)) / 100 - 10,
                        points.back().y + static_cast<double>(dice.roll(2000)) / 100 - 10, 0});
    const std::vector<Point> back(points.rbegin(), points.rend());
    CHECK(
        near(planned_s(path_through(points), limits(150, 900)), planned_s(path_through(back), limits(150, 900)), 1e-9));
  }
}

TEST_CASE("the plan agrees with stepping along the path in fine steps") {
  // Independent of the plan: speed² along the path is the largest function below all limits whose slope is at most 2 a.
  Dice dice(5);
  for (int round = 0; round < 5; ++round) {
    std::vector<Point> points{{0, 0, 0}};
    for (int i = 0; i < 12; ++i)
      points.push_back({points.back().x + 0.5 + static_cast<double>(dice.roll(1500)) / 100,
                        points.back().y + static_cast<double>(dice.roll(2000)) / 100 - 10, 0});
    const auto moves = path_through(points);
    constexpr double step_mm = 1e-3;
    constexpr double acceleration = 1200;
    constexpr double speed = 140;
    std::vector<double> squares{0};
    for (std::size_t i = 0; i < moves.size(); ++i) {
      const auto steps = static_cast<std::size_t>(std::llround(moves[i].path_mm / step_mm));
      for (std::size_t k = 1; k < steps; ++k) squares.push_back(speed * speed);
      double corner = 0;
      if (i + 1 < moves.size()) {
        const auto unit = [](const Move& move) {
          return std::array<double, 3>{(move.to_mm.x - move.from_mm.x) / move.path_mm,
                                       (move.to_mm.y - move.from_mm.y) / move.path_mm, 0};
        };
        corner = std::min(speed, corner_speed_mm_per_s({}, acceleration, unit(moves[i]), unit(moves[i + 1])));
      }
      squares.push_back(corner * corner);
    }
    for (std::size_t i = 1; i < squares.size(); ++i)
      squares[i] = std::min(squares[i], squares[i - 1] + 2 * acceleration * step_mm);
    for (std::size_t i = squares.size() - 1; i-- > 0;)
      squares[i] = std::min(squares[i], squares[i + 1] + 2 * acceleration * step_mm);
    double stepped_s = 0;
    for (std::size_t i = 1; i < squares.size(); ++i)
      stepped_s += 2 * step_mm / (std::sqrt(squares[i - 1]) + std::sqrt(squares[i]));
    const double planned = planned_s(moves, limits(speed, acceleration));
    CHECK(near(planned, stepped_s, 2e-3 * stepped_s));
  }
}

TEST_CASE("where a window of planning ends does not show") {
  std::vector<Point> points;
  for (int i = 0; i < 6000; ++i) points.push_back({0.4 * i, std::sin(0.05 * i), 0});
  std::vector<Move> moves = path_through(points);
  const double whole_s = planned_s(moves, limits(100, 1500));
  MotionPlan plan;
  double windowed_s = 0;
  std::vector<Move> pending;
  for (const Move& move : moves) {
    plan.add(move, nullptr, limits(100, 1500));
    pending.push_back(move);
    if (pending.size() < 1000 + MotionPlan::look_ahead) continue;
    plan.release(pending, 1000);
    for (std::size_t i = 0; i < 1000; ++i) windowed_s += pending[i].duration_s;
    pending.erase(pending.begin(), pending.begin() + 1000);
  }
  plan.release(pending, pending.size());
  for (const Move& move : pending) windowed_s += move.duration_s;
  CHECK(near(windowed_s, whole_s, 1e-9));
}
