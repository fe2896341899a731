#include "support/bead_line.hpp"

#include <algorithm>
#include <cmath>

namespace beadwise::tests {

namespace {

constexpr double line_error_mm = 0.005;
constexpr double width_error_mm = 0.01;

double distance(PlanePoint a, PlanePoint b) { return std::hypot(b.x - a.x, b.y - a.y); }

LinePlace between(const LinePlace& a, const LinePlace& b, double share) {
  return {{a.at.x + share * (b.at.x - a.at.x), a.at.y + share * (b.at.y - a.at.y)},
          a.width_mm + share * (b.width_mm - a.width_mm)};
}

/// How far a place is off the straight line a–b, in units of what is allowed.
double excess(const LinePlace& place, const LinePlace& a, const LinePlace& b) {
  const double dx = b.at.x - a.at.x;
  const double dy = b.at.y - a.at.y;
  const double squared = dx * dx + dy * dy;
  const double along = (place.at.x - a.at.x) * dx + (place.at.y - a.at.y) * dy;
  const LinePlace on_line = between(a, b, squared > 0 ? std::clamp(along / squared, 0.0, 1.0) : 0);
  return std::max(distance(place.at, on_line.at) / line_error_mm,
                  std::fabs(place.width_mm - on_line.width_mm) / (width_error_mm / 2));
}

/// Adds the places after `first` up to `last` that a line through them needs (Douglas and Peucker 1973).
void add_needed(const BeadLine& line, std::size_t first, std::size_t last, BeadLine& needed) {
  double most = 1;
  std::size_t worst = first;
  for (std::size_t i = first + 1; i < last; ++i) {
    const double here = excess(line[i], line[first], line[last]);
    if (here > most) {
      most = here;
      worst = i;
    }
  }
  if (worst == first) return needed.push_back(line[last]);
  add_needed(line, first, worst, needed);
  add_needed(line, worst, last, needed);
}

}  // namespace

double length_mm(const BeadLine& line) {
  double length = 0;
  for (std::size_t i = 1; i < line.size(); ++i) length += distance(line[i - 1].at, line[i].at);
  return length;
}

BeadLine in_steps(const BeadLine& line, double step_mm) {
  BeadLine stepped{line.front()};
  for (std::size_t i = 1; i < line.size(); ++i) {
    const int pieces = std::max(1, static_cast<int>(std::ceil(distance(line[i - 1].at, line[i].at) / step_mm)));
    for (int piece = 1; piece <= pieces; ++piece)
      stepped.push_back(between(line[i - 1], line[i], static_cast<double>(piece) / pieces));
  }
  return stepped;
}

std::vector<LaidBead> beads_along(const BeadLine& line) {
  std::vector<LaidBead> beads;
  if (line.size() < 2) return beads;
  BeadLine needed{line.front()};
  add_needed(line, 0, line.size() - 1, needed);
  for (std::size_t i = 1; i < needed.size(); ++i) {
    const LinePlace& a = needed[i - 1];
    const LinePlace& b = needed[i];
    // The middle of a piece is as wide as the piece, its ends are half of the change off.
    const int pieces = std::max(1, static_cast<int>(std::ceil(std::fabs(b.width_mm - a.width_mm) / width_error_mm)));
    for (int piece = 0; piece < pieces; ++piece) {
      const LinePlace from = between(a, b, static_cast<double>(piece) / pieces);
      const LinePlace to = between(a, b, (piece + 1.0) / pieces);
      beads.push_back({from.at, to.at, (from.width_mm + to.width_mm) / 2});
    }
  }
  return beads;
}

}  // namespace beadwise::tests
