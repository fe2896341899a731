#include "model/lettering_seed.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <span>
#include <utility>

namespace beadwise {

namespace {

constexpr std::size_t window = 24;   // pieces around a place that are tried for one line
constexpr std::size_t partners = 6;  // of them, those that the line may be laid through
constexpr std::size_t least_pieces = 3;
constexpr double like_size_ratio = 3;  // between letters of one line: an I on its own and a W, an x and a Q
constexpr double window_ratio = 4;     // of the piece's size
constexpr double circle_cost = 0.75;   // pieces: a circle fits three of anything
constexpr double stranger_cost = 0.5;  // pieces, for one that stands closer to another line
constexpr double sure_score = 2.2;     // three letters that stand well: no circle is tried
constexpr double opposite = -0.3;      // cosine of the angle at which a piece sees two that it lies between

/// The corner that lies farthest to the right of a way.
PlanePoint rightmost(const std::vector<PlanePoint>& hull, PlanePoint from, PlanePoint to) {
  return *std::min_element(hull.begin(), hull.end(),
                           [&](PlanePoint a, PlanePoint b) { return cross(from, to, a) < cross(from, to, b); });
}

/// The line that touches two pieces, first one, then the other, with both on the left.
Baseline common_tangent(const GlyphShape& first, const GlyphShape& last) {
  PlanePoint from = first.middle;
  PlanePoint to = last.middle;
  for (int round = 0; round < 8; ++round) {
    const PlanePoint a = rightmost(first.hull, from, to);
    const PlanePoint b = rightmost(last.hull, from, to);
    if (a.x == from.x && a.y == from.y && b.x == to.x && b.y == to.y) break;
    from = a;
    to = b;
  }
  return straight_from(from, to);
}

/// Those of `stands` (in order along the line) that follow the piece on either side without a wide gap.
std::vector<Stand> run_around(const std::vector<Stand>& stands, std::uint32_t piece, double gap_mm) {
  const auto seed = std::find_if(stands.begin(), stands.end(), [&](const Stand& s) { return s.piece == piece; });
  if (seed == stands.end()) return {};
  auto last = seed;
  for (double reach = seed->to_mm; last + 1 != stands.end() && (last + 1)->from_mm - reach <= gap_mm; ++last)
    reach = std::max(reach, (last + 1)->to_mm);
  auto first = seed;
  for (double reach = seed->from_mm; first != stands.begin() && reach - (first - 1)->to_mm <= gap_mm; --first)
    reach = std::min(reach, (first - 1)->from_mm);
  return {first, last + 1};
}

/// How many pieces of a row have a piece that is no part of it, over or under them, closer than their neighbours in it.
std::size_t closer_to_strangers(const GlyphRow& row, const std::vector<Stand>& all) {
  std::size_t count = 0;
  for (std::size_t i = 0; i < row.stands.size(); ++i) {
    const Stand& stand = row.stands[i];
    double gap_mm = 1e300;
    if (i > 0) gap_mm = std::min(gap_mm, stand.from_mm - row.stands[i - 1].to_mm);
    if (i + 1 < row.stands.size()) gap_mm = std::min(gap_mm, row.stands[i + 1].from_mm - stand.to_mm);
    count += std::any_of(all.begin(), all.end(), [&](const Stand& other) {
      if (other.from_mm > stand.to_mm || other.to_mm < stand.from_mm || in_band(other, row.height_mm)) return false;
      return std::max(other.low_mm - stand.high_mm, stand.low_mm - other.high_mm) < gap_mm;
    });
  }
  return count;
}

/// The row that a line gathers around a piece, with the heights of the pieces it was laid through.
GlyphRow row_on(const GlyphField& field, const Baseline& line, std::uint32_t piece,
                std::span<const std::uint32_t> through, const std::vector<std::uint32_t>& candidates) {
  GlyphRow row;
  row.line = line;
  double least_mm = 1e300;
  for (const std::uint32_t other : through) {
    const Stand stand = stand_on(line, field.shapes[other], other);
    row.height_mm = std::max(row.height_mm, stand.high_mm);
    least_mm = std::min(least_mm, stand.height_mm());
  }
  if (row.height_mm > tallest_glyph_mm || least_mm < letter::tall * row.height_mm) return row;
  if (line.curved() && line.radius_mm < letter::least_radius * row.height_mm) return row;
  std::vector<Stand> all;
  for (const std::uint32_t other : candidates) {
    all.push_back(stand_on(line, field.shapes[other], other));
    if (in_band(all.back(), row.height_mm)) row.stands.push_back(all.back());
  }
  sort_along(row.stands);
  row.stands = run_around(row.stands, piece, letter::word_space * row.height_mm);
  row.score = score_of(row.stands, row.height_mm) - (line.curved() ? circle_cost : 0) -
              stranger_cost * static_cast<double>(closer_to_strangers(row, all));
  return row;
}

/// The circle on which three pieces stand, from their middles, then from their feet; up is where it is for `like`.
std::optional<Baseline> circle_under(const GlyphField& field, const std::array<std::uint32_t, 3>& three,
                                     const Baseline& like) {
  std::array<PlanePoint, 3> places;
  for (std::size_t i = 0; i < 3; ++i) places[i] = field.shapes[three[i]].middle;
  std::optional<Baseline> circle = circle_of(places, like);
  for (int round = 0; round < 3 && circle; ++round) {
    for (std::size_t i = 0; i < 3; ++i) {
      const Stand stand = stand_on(*circle, field.shapes[three[i]], three[i]);
      places[i] = circle->place(stand.along_mm, stand.low_mm);
    }
    circle = circle_of(places, *circle);
  }
  return circle;
}

/// Pieces of like size around one, the nearest first.
std::vector<std::uint32_t> neighbours(const GlyphField& field, std::uint32_t piece) {
  const GlyphShape& shape = field.shapes[piece];
  std::vector<std::uint32_t> near;
  field.index.near(shape.middle, window_ratio * shape.size_mm, shape.size_mm / like_size_ratio,
                   shape.size_mm * like_size_ratio, near);
  const auto unfit = [&](std::uint32_t other) {
    return other == piece || !field.free(other) || field.shapes[other].hole != shape.hole;
  };
  near.erase(std::remove_if(near.begin(), near.end(), unfit), near.end());
  std::vector<std::pair<double, std::uint32_t>> by_gap;
  for (const std::uint32_t other : near) {
    const GlyphShape& there = field.shapes[other];
    const double dx = there.middle.x - shape.middle.x;
    const double dy = there.middle.y - shape.middle.y;
    by_gap.emplace_back(std::sqrt(dx * dx + dy * dy) - there.size_mm / 2, other);
  }
  std::sort(by_gap.begin(), by_gap.end());
  for (std::size_t i = 0; i < near.size(); ++i) near[i] = by_gap[i].second;
  if (near.size() > window) near.resize(window);
  return near;
}

/// Whether a piece lies between two others, more or less.
bool between(const GlyphField& field, std::uint32_t piece, std::uint32_t a, std::uint32_t b) {
  const PlanePoint at = field.shapes[piece].middle;
  const PlanePoint p = field.shapes[a].middle;
  const PlanePoint q = field.shapes[b].middle;
  const double dot = (p.x - at.x) * (q.x - at.x) + (p.y - at.y) * (q.y - at.y);
  return dot < opposite * std::hypot(p.x - at.x, p.y - at.y) * std::hypot(q.x - at.x, q.y - at.y);
}

}  // namespace

GlyphRow best_row(const GlyphField& field, std::uint32_t piece) {
  GlyphRow best;
  std::vector<std::uint32_t> candidates = neighbours(field, piece);
  const std::size_t tried = std::min(partners, candidates.size());
  const auto copies = [&](std::uint32_t other) { return alike(field.shapes[other], field.shapes[piece]); };
  if (std::all_of(candidates.begin(), candidates.begin() + static_cast<std::ptrdiff_t>(tried), copies)) return best;
  const std::vector<std::uint32_t> close(candidates.begin(), candidates.begin() + static_cast<std::ptrdiff_t>(tried));
  candidates.push_back(piece);
  const auto keep_better = [&](GlyphRow row) {
    if (row.stands.size() >= least_pieces && row.score > best.score) best = std::move(row);
  };
  for (const std::uint32_t other : close)
    for (const Baseline& line : {common_tangent(field.shapes[piece], field.shapes[other]),
                                 common_tangent(field.shapes[other], field.shapes[piece])})
      keep_better(row_on(field, line, piece, std::array{piece, other}, candidates));
  if (best.score > sure_score) return best;
  for (std::size_t i = 0; i < tried; ++i)
    for (std::size_t k = i + 1; k < tried; ++k) {
      if (!between(field, piece, close[i], close[k])) continue;
      const std::array<std::uint32_t, 3> three{close[i], piece, close[k]};
      const Baseline way = straight_from(field.shapes[close[i]].middle, field.shapes[close[k]].middle);
      const Baseline back = straight_from(field.shapes[close[k]].middle, field.shapes[close[i]].middle);
      for (const Baseline& like : {way, back})
        if (const auto circle = circle_under(field, three, like))
          keep_better(row_on(field, *circle, piece, three, candidates));
    }
  return best;
}

}  // namespace beadwise
