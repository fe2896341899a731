#include "model/strokes.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "model/bead_roles.hpp"
#include "model/loop_sides.hpp"
#include "model/loops.hpp"

namespace beadwise {

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
// Pieces of one run nearer than this many bead widths along it bend into each other and are not neighbours.
constexpr double own_run_widths = 1.5;
constexpr double rounding_mm = 1e-3;
constexpr double shortest_edge_mm = 0.01;
// A hollow inside an outline that is narrower than this share of a bead fills up: the bead is pressed into it.
constexpr double slit_widths = 0.5;
constexpr double cell_mm = 1;
constexpr double most_cells = 4e6;
// Two contacts of a disc at least so far apart lie on opposite sides: cosine of 150 degrees.
constexpr double opposite_cosine = -0.8660254037844387;
// Edges that turn by less than 60 degrees from the own one are the same side, bent.
constexpr double same_side_cosine = 0.5;

double dot(PlanePoint a, PlanePoint b) { return a.x * b.x + a.y * b.y; }
PlanePoint minus(PlanePoint a, PlanePoint b) { return {a.x - b.x, a.y - b.y}; }
PlanePoint ahead(PlanePoint a, PlanePoint way, double mm) { return {a.x + mm * way.x, a.y + mm * way.y}; }

/// Radius of the disc that touches `at` from the side `way` and the place `other`; infinite where there is none.
double radius_through(PlanePoint at, PlanePoint way, PlanePoint other) {
  const PlanePoint to = minus(other, at);
  const double along = dot(to, way);
  return along > 1e-9 ? dot(to, to) / (2 * along) : infinite;
}

}  // namespace

void StrokeMeter::add_free_parts(const IndexedLayer& layer, std::size_t piece, double sign, bool outside_only) {
  const std::vector<Footprint>& footprints = layer.index.footprints();
  const Footprint& own = footprints[piece];
  const PlanePoint a = own.from();
  const PlanePoint b = own.to();
  const double length_mm = std::hypot(b.x - a.x, b.y - a.y);
  if (length_mm < shortest_edge_mm / 10) return;
  const PlanePoint outward{-sign * (b.y - a.y) / length_mm, sign * (b.x - a.x) / length_mm};
  const PlanePoint from = ahead(a, outward, own.half_mm());
  const PlanePoint to = ahead(b, outward, own.half_mm());
  covered_.clear();
  layer.index.near(from, to, own.half_mm(), [&](const Footprint& other) {
    const auto at = static_cast<std::size_t>(&other - footprints.data());
    if (at == piece) return;
    double reach_mm = other.half_mm() * BeadIndex::touch_ratio + own.half_mm() * (BeadIndex::touch_ratio - 1);
    if (loop_of_[other.bead] == loop_of_[own.bead]) {
      const double apart_mm = std::abs(passed_mm_[at] - passed_mm_[piece]) - length_mm;
      if (apart_mm < own_run_widths * 2 * own.half_mm()) reach_mm = other.half_mm() - rounding_mm;
    }
    if (reach_mm <= 0) return;
    if (const auto part = part_within(from, to, other.from(), other.to(), reach_mm))
      covered_.push_back({*part, other.bead});
  });
  std::sort(covered_.begin(), covered_.end(),
            [](const Covered& one, const Covered& other) { return one.span.from < other.span.from; });
  double reached = 0;
  const auto add_free = [&](double first, double last) {
    if ((last - first) * length_mm < shortest_edge_mm) return;
    const PlanePoint way = minus(to, from);
    const Edge edge{.from = ahead(from, way, first),
                    .to = ahead(from, way, last),
                    .inward = {-outward.x, -outward.y},
                    .bead = own.bead,
                    .run = 0};
    const PlanePoint middle = ahead(from, way, (first + last) / 2);
    if (outside_only && inside_outline(layer, ahead(middle, outward, own.half_mm() / 4))) return;
    edges_.push_back(edge);
  };
  for (const Covered& part : covered_) {
    add_free(reached, part.span.from);
    reached = std::max(reached, part.span.to);
  }
  add_free(reached, 1);
}

void StrokeMeter::add_sides(const IndexedLayer& layer, std::uint32_t first_bead, std::uint32_t beads, bool left,
                            bool right, bool outside_only) {
  const std::vector<Footprint>& footprints = layer.index.footprints();
  const auto by_bead = [](const Footprint& footprint, std::uint32_t bead) { return footprint.bead < bead; };
  const auto first = std::lower_bound(footprints.begin(), footprints.end(), first_bead, by_bead);
  const auto last = std::lower_bound(first, footprints.end(), first_bead + beads, by_bead);
  for (const double sign : {1.0, -1.0}) {
    if (!(sign > 0 ? left : right)) continue;
    for (auto piece = first; piece != last; ++piece)
      add_free_parts(layer, static_cast<std::size_t>(piece - footprints.begin()), sign, outside_only);
  }
}

void StrokeMeter::find_edges(const IndexedLayer& layer, const std::vector<bool>& wanted) {
  const std::vector<Footprint>& footprints = layer.index.footprints();
  edges_.clear();
  loop_of_.resize(layer.layer.beads.size());
  for (const Track& track : layer.tracks)
    for (std::uint32_t i = 0; i < track.count; ++i) loop_of_[track.first + i] = track.first;
  std::vector<Loop> loops = find_loops(layer);
  std::vector<bool> has_fill(layer.islands.size(), false);
  std::vector<bool> in_loop(layer.tracks.size(), false);
  for (const Loop& loop : loops) {
    for (std::uint32_t i = 0; i < loop.beads; ++i) loop_of_[loop.first + i] = loop.first;
    for (std::uint32_t i = 0; i < loop.tracks; ++i) in_loop[loop.first_track + i] = true;
  }
  for (std::size_t i = 0; i < layer.tracks.size(); ++i)
    if (!in_loop[i]) has_fill[layer.island_of[layer.tracks[i].first]] = true;
  passed_mm_.resize(footprints.size());
  double passed_mm = 0;
  for (std::size_t i = 0; i < footprints.size(); ++i) {
    if (i > 0 && loop_of_[footprints[i].bead] != loop_of_[footprints[i - 1].bead]) passed_mm = 0;
    passed_mm_[i] = passed_mm;
    passed_mm +=
        std::hypot(footprints[i].to().x - footprints[i].from().x, footprints[i].to().y - footprints[i].from().y);
  }
  for (const Loop& loop : loops) {
    const std::uint32_t island = layer.island_of[loop.first];
    if (!wanted[island]) continue;
    const LoopSides sides = sides_of_loop(layer, loop, has_fill[island]);
    add_sides(layer, loop.first, loop.beads, sides.left_free, sides.right_free, false);
  }
  for (std::size_t i = 0; i < layer.tracks.size(); ++i) {
    const Track& track = layer.tracks[i];
    if (!in_loop[i] && wanted[layer.island_of[track.first]])
      add_sides(layer, track.first, track.count, true, true, true);
  }
  // An edge goes on where the one before it ends, round a small corner at most.
  std::uint32_t run = 0;
  for (std::size_t i = 0; i < edges_.size(); ++i) {
    if (i > 0) {
      const PlanePoint step = minus(edges_[i].from, edges_[i - 1].to);
      const bool goes_on = loop_of_[edges_[i].bead] == loop_of_[edges_[i - 1].bead] &&
                           dot(edges_[i].inward, edges_[i - 1].inward) > same_side_cosine &&
                           dot(step, step) < 4 * shortest_edge_mm;
      run += goes_on ? 0 : 1;
    }
    edges_[i].run = run;
  }
}

void StrokeMeter::lay_grid() {
  columns_ = 0;
  rows_ = 0;
  if (edges_.empty()) return;
  PlanePoint high{-1e300, -1e300};
  low_ = {1e300, 1e300};
  for (const Edge& edge : edges_)
    for (const PlanePoint place : {edge.from, edge.to}) {
      low_ = {std::min(low_.x, place.x), std::min(low_.y, place.y)};
      high = {std::max(high.x, place.x), std::max(high.y, place.y)};
    }
  const double columns = std::floor((high.x - low_.x) / cell_mm) + 1;
  const double rows = std::floor((high.y - low_.y) / cell_mm) + 1;
  if (columns * rows > most_cells) {
    edges_.clear();
    return;
  }
  columns_ = static_cast<int>(columns);
  rows_ = static_cast<int>(rows);
  starts_.assign(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_) + 1, 0);
  const auto each = [&](auto&& visit) {
    for (std::size_t i = edges_.size(); i-- > 0;) {
      const Edge& edge = edges_[i];
      const int left = static_cast<int>((std::min(edge.from.x, edge.to.x) - low_.x) / cell_mm);
      const int right = static_cast<int>((std::max(edge.from.x, edge.to.x) - low_.x) / cell_mm);
      const int bottom = static_cast<int>((std::min(edge.from.y, edge.to.y) - low_.y) / cell_mm);
      const int top = static_cast<int>((std::max(edge.from.y, edge.to.y) - low_.y) / cell_mm);
      for (int row = bottom; row <= top; ++row)
        for (int column = left; column <= right; ++column)
          visit(static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(column),
                i);
    }
  };
  each([&](std::size_t cell, std::size_t) { ++starts_[cell]; });
  std::uint32_t sum = 0;
  for (std::uint32_t& start : starts_) {
    sum += start;
    start = sum;
  }
  entries_.resize(sum);
  each([&](std::size_t cell, std::size_t edge) { entries_[--starts_[cell]] = static_cast<std::uint32_t>(edge); });
}

StrokeMeter::Contact StrokeMeter::largest_disc(const Edge& own, PlanePoint at, PlanePoint way, double widest_mm) const {
  Contact best{.radius_mm = infinite, .bead = 0, .opposite = false};
  const double inside = dot(way, own.inward) > 0 ? 1 : -1;
  const auto touch = [&](const Edge& edge, PlanePoint contact, double radius_mm) {
    if (!(radius_mm < best.radius_mm) || 2 * radius_mm > widest_mm) return;
    const PlanePoint middle = ahead(at, way, radius_mm);
    const double cosine = dot(minus(at, middle), minus(contact, middle)) / (radius_mm * radius_mm);
    if (cosine > same_side_cosine) return;
    best = {.radius_mm = radius_mm, .bead = edge.bead, .opposite = cosine <= opposite_cosine};
  };
  const auto look_at = [&](const Edge& edge) {
    if (&edge == &own) return;
    // The way from the edge into the region that the disc lies in.
    const PlanePoint normal{inside * edge.inward.x, inside * edge.inward.y};
    const double facing = dot(way, normal);
    const double distance_mm = dot(minus(at, edge.from), normal);
    if (facing < same_side_cosine && distance_mm > 0) {
      const double radius_mm = distance_mm / (1 - facing);
      const PlanePoint middle = ahead(at, way, radius_mm);
      const PlanePoint contact = ahead(middle, normal, -radius_mm);
      const PlanePoint along = minus(edge.to, edge.from);
      const double share = dot(minus(contact, edge.from), along) / dot(along, along);
      if (share >= 0 && share <= 1) {
        touch(edge, contact, radius_mm);
        return;
      }
    }
    for (const PlanePoint end : {edge.from, edge.to}) {
      const double radius_mm = radius_through(at, way, end);
      if (radius_mm < best.radius_mm) touch(edge, end, radius_mm);
    }
  };
  // What the disc may touch lies within its diameter: rings of cells, outwards, as long as that can matter.
  const int column = static_cast<int>((at.x - low_.x) / cell_mm);
  const int row = static_cast<int>((at.y - low_.y) / cell_mm);
  for (int ring = 0;; ++ring) {
    const double nearest_mm = (ring - 1) * cell_mm;
    if (nearest_mm > std::min(widest_mm, 2 * best.radius_mm)) break;
    for (int y = std::max(0, row - ring); y <= std::min(rows_ - 1, row + ring); ++y) {
      const bool whole = y == row - ring || y == row + ring;
      const int step = whole || ring == 0 ? 1 : 2 * ring;
      for (int x = column - ring; x <= column + ring; x += step) {
        if (x < 0 || x >= columns_) continue;
        const auto cell =
            static_cast<std::size_t>(y) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(x);
        for (std::uint32_t i = starts_[cell]; i < starts_[cell + 1]; ++i) look_at(edges_[entries_[i]]);
      }
    }
  }
  return best;
}

void StrokeMeter::close_slits(const IndexedLayer& layer) {
  const auto closes = [&](const Edge& edge) {
    const double width_mm = layer.layer.beads[edge.bead].width_mm;
    if (!(width_mm > 0)) return false;
    const PlanePoint middle{(edge.from.x + edge.to.x) / 2, (edge.from.y + edge.to.y) / 2};
    const PlanePoint outward{-edge.inward.x, -edge.inward.y};
    const double narrow_mm = slit_widths * width_mm;
    const Contact across = largest_disc(edge, middle, outward, narrow_mm);
    return across.opposite && inside_outline(layer, ahead(middle, outward, across.radius_mm));
  };
  std::vector<bool> closed(edges_.size());
  for (std::size_t i = 0; i < edges_.size(); ++i) closed[i] = closes(edges_[i]);
  if (std::find(closed.begin(), closed.end(), true) == closed.end()) return;
  std::size_t kept = 0;
  for (std::size_t i = 0; i < edges_.size(); ++i)
    if (!closed[i]) edges_[kept++] = edges_[i];
  edges_.resize(kept);
  lay_grid();
}

void StrokeMeter::measure(const IndexedLayer& layer, const std::vector<bool>& wanted, const StrokeReach& reach) {
  samples_.clear();
  find_edges(layer, wanted);
  lay_grid();
  close_slits(layer);
  for (const Edge& edge : edges_) {
    const double length_mm = std::hypot(edge.to.x - edge.from.x, edge.to.y - edge.from.y);
    const double count = std::max(1.0, std::ceil(length_mm / reach.step_mm));
    for (double i = 0; i < count; ++i) {
      const PlanePoint at = ahead(edge.from, minus(edge.to, edge.from), (i + 0.5) / count);
      const Contact behind = largest_disc(edge, at, edge.inward, reach.thickest_mm);
      const Contact before = largest_disc(edge, at, {-edge.inward.x, -edge.inward.y}, reach.widest_gap_mm);
      samples_.push_back({.at = at,
                          .inward = edge.inward,
                          .length_mm = length_mm / count,
                          .thickness_mm = behind.opposite ? 2 * behind.radius_mm : infinite,
                          .gap_mm = before.opposite ? 2 * before.radius_mm : infinite,
                          .bead = edge.bead,
                          .opposite = behind.bead,
                          .across = before.bead,
                          .run = edge.run});
    }
  }
}

}  // namespace beadwise
