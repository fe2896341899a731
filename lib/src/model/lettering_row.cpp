#include "model/lettering_row.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace beadwise {

namespace {

constexpr double gap_cost = 0.5;     // pieces, for a gap of a height
constexpr double misfit_cost = 0.7;  // pieces: what stands there by chance does not speak for the line
constexpr double top_worth = 0.6;    // pieces, for a common height besides the common line

/// 1 where two heights agree, to within half the tolerance; 0 from one and a half tolerances on.
double agreement(double difference_mm, double height_mm) {
  return std::clamp(1.5 - std::abs(difference_mm) / (letter::alignment * height_mm), 0.0, 1.0);
}

}  // namespace

GlyphField::GlyphField(std::vector<GlyphShape> all_shapes)
    : shapes(std::move(all_shapes)), index(shapes), taken(shapes.size(), 0), likely(shapes.size(), 0) {
  for (const GlyphShape& shape : shapes) unread[shape.hole] += shape.build != GlyphBuild::solid;
}

void GlyphField::take(const GlyphRow& row) {
  expect(row);
  for (const Stand& stand : row.stands) taken[stand.piece] = 1;
}

void GlyphField::expect(const GlyphRow& row) {
  for (const Stand& stand : row.stands) {
    if (free(stand.piece) && !likely[stand.piece]) --unread[shapes[stand.piece].hole];
    likely[stand.piece] = 1;
  }
}

std::size_t GlyphField::strangers_to(const GlyphRow& row) const {
  const auto unknown = [&](const Stand& stand) { return free(stand.piece) && !likely[stand.piece]; };
  const auto own = std::count_if(row.stands.begin(), row.stands.end(), unknown);
  return unread[shapes[row.stands.front().piece].hole] - static_cast<std::size_t>(own);
}

Level densest(const std::vector<double>& values, double tolerance) {
  Level best;
  std::size_t first = 0;
  for (std::size_t last = 0; last < values.size(); ++last) {
    while (values[last] - values[first] > 2 * tolerance) ++first;
    const std::size_t count = last - first + 1;
    if (count >= best.count && count > 0) best = {values[(first + last) / 2], count};
  }
  return best;
}

bool is_tall(const Stand& stand, double height_mm) { return stand.height_mm() >= letter::tall * height_mm; }

bool in_band(const Stand& stand, double height_mm) {
  return stand.low_mm >= letter::low * height_mm && stand.high_mm <= letter::high * height_mm &&
         stand.low_mm < height_mm && stand.high_mm > 0;
}

std::array<Level, 2> top_levels(const std::vector<Stand>& stands, double height_mm) {
  std::vector<double> tops;
  for (const Stand& stand : stands)
    if (is_tall(stand, height_mm)) tops.push_back(stand.high_mm);
  std::sort(tops.begin(), tops.end());
  const double tolerance_mm = letter::alignment * height_mm;
  const Level first = densest(tops, tolerance_mm);
  std::vector<double> others;
  for (const double top : tops)
    if (std::abs(top - first.at) > 2 * tolerance_mm) others.push_back(top);
  return {first, densest(others, tolerance_mm)};
}

double score_of(const std::vector<Stand>& stands, double height_mm) {
  const std::array<Level, 2> tops = top_levels(stands, height_mm);
  double score = 0;
  double reach_mm = stands.empty() ? 0 : stands.front().to_mm;
  for (const Stand& stand : stands) {
    const double gap_mm = std::max(0.0, stand.from_mm - reach_mm);
    reach_mm = std::max(reach_mm, stand.to_mm);
    score -= gap_cost * gap_mm / height_mm;
    if (!is_tall(stand, height_mm)) continue;
    const double base = agreement(stand.low_mm, height_mm);
    double top = 0;
    for (const Level& level : tops)
      if (level.count >= 2) top = std::max(top, agreement(stand.high_mm - level.at, height_mm));
    score += base + top_worth * top - misfit_cost;
  }
  return score;
}

void sort_along(std::vector<Stand>& stands) {
  std::sort(stands.begin(), stands.end(), [](const Stand& a, const Stand& b) {
    return a.along_mm < b.along_mm || (a.along_mm == b.along_mm && a.piece < b.piece);
  });
}

}  // namespace beadwise
