#include "model/strokes.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "model/bead_roles.hpp"
#include "model/loop_sides.hpp"
#include "model/loops.hpp"

namespace beadwise {

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
// Pieces of one run nearer than this many bead widths along it bend into each other and are not neighbours.
constexpr double own_run_widths = 1.5;
constexpr double rounding_mm = 1e-3;
constexpr double shortest_edge_mm = 0.002;
// Growth of half the width along the way, as far as a stroke swells rather than changes at once.
constexpr double steepest_swell = 0.25;
// Edges of two beads that meet in a corner end so near to each other, up to rounding.
constexpr double corner_mm = 0.03;
// A hollow inside an outline that is narrower than this share of a bead fills up: the bead is pressed into it.
constexpr double slit_widths = 0.5;
// Round corners and ends are cut into chords that turn so far; smaller turns leave no gap worth closing.
constexpr double corner_step_rad = 0.4;
constexpr double smallest_turn_rad = 0.15;
// Where a bead is wider than the next by more, its round end shows beside it.
constexpr double width_step_mm = 0.005;
// The disc of an edge's own bead lies inside the region: smaller ones come from rounding.
constexpr double cell_mm = 1;
constexpr double most_cells = 4e6;
// A disc in a round dot touches it all around, but for the corners of chords.
constexpr double tie_ratio = 1.02;
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

void StrokeMeter::add_free_parts(const IndexedLayer& layer, std::size_t piece, const Edge& whole, bool outside_only) {
  const std::vector<Footprint>& footprints = layer.index.footprints();
  const Footprint& own = footprints[piece];
  const PlanePoint from = whole.from;
  const PlanePoint way = minus(whole.to, whole.from);
  const double length_mm = std::sqrt(dot(way, way));
  const double piece_mm = std::hypot(own.to().x - own.from().x, own.to().y - own.from().y);
  // Most footprints of the cells that an edge passes lie beside it, which two products tell.
  const auto aside = [&](PlanePoint place) { return (place.y - from.y) * way.x - (place.x - from.x) * way.y; };
  covered_.clear();
  layer.index.near(whole.from, whole.to, whole.half_mm, [&](const Footprint& other) {
    const auto at = static_cast<std::size_t>(&other - footprints.data());
    if (at == piece) return;
    double reach_mm = other.half_mm() + rounding_mm;
    const double one = aside(other.from());
    const double two = aside(other.to());
    if (std::min(one, two) > reach_mm * length_mm || std::max(one, two) < -reach_mm * length_mm) return;
    if (loop_of_[other.bead] == loop_of_[own.bead]) {
      const double apart_mm = std::abs(passed_mm_[at] - passed_mm_[piece]) - piece_mm;
      if (apart_mm < own_run_widths * 2 * whole.half_mm) {
        // A stroke that swells evenly keeps its sides; a step does not.
        const bool swells = other.half_mm() - whole.half_mm < steepest_swell * (apart_mm + piece_mm);
        reach_mm = (swells ? std::min(whole.half_mm, other.half_mm()) : other.half_mm()) - rounding_mm;
      }
    }
    if (reach_mm <= 0) return;
    if (const auto part = part_within(whole.from, whole.to, other.from(), other.to(), reach_mm))
      covered_.push_back({*part, other.bead});
  });
  std::sort(covered_.begin(), covered_.end(),
            [](const Covered& one, const Covered& other) { return one.span.from < other.span.from; });
  double reached = 0;
  const auto add_free = [&](double first, double last) {
    if ((last - first) * length_mm < shortest_edge_mm) return;
    Edge edge = whole;
    edge.from = ahead(from, way, first);
    edge.to = ahead(from, way, last);
    edge.cut_from = first > 0;
    edge.cut_to = last < 1;
    const PlanePoint middle = ahead(from, way, (first + last) / 2);
    if (outside_only && inside_outline(layer, ahead(middle, whole.inward, -whole.half_mm / 4))) return;
    edges_.push_back(edge);
  };
  for (const Covered& part : covered_) {
    add_free(reached, part.span.from);
    reached = std::max(reached, part.span.to);
  }
  add_free(reached, 1);
}

void StrokeMeter::add_arc(const IndexedLayer& layer, std::size_t piece, double sign, double sweep_rad, bool at_end,
                          bool outside_only) {
  const Footprint& own = layer.index.footprints()[piece];
  const PlanePoint way = minus(own.to(), own.from());
  const double start_rad = std::atan2(way.y, way.x) + sign * std::numbers::pi / 2;
  const double turning = at_end ? -sign : sign;
  const double steps = std::ceil(sweep_rad / corner_step_rad);
  const PlanePoint center = at_end ? own.to() : own.from();
  const auto on_arc = [&](double step) {
    const double angle = start_rad + turning * sweep_rad * step / steps;
    return PlanePoint{std::cos(angle), std::sin(angle)};
  };
  for (double step = 0; step < steps; ++step) {
    const PlanePoint middle = on_arc(step + 0.5);
    add_free_parts(layer, piece,
                   {.from = ahead(center, on_arc(step), own.half_mm()),
                    .to = ahead(center, on_arc(step + 1), own.half_mm()),
                    .inward = {-middle.x, -middle.y},
                    .half_mm = own.half_mm(),
                    .bead = own.bead,
                    .run = 0},
                   outside_only);
  }
}

void StrokeMeter::add_ends(const IndexedLayer& layer, std::size_t piece, const Footprint* before, const Footprint* next,
                           double sign, bool outside_only) {
  const Footprint& own = layer.index.footprints()[piece];
  const PlanePoint way = minus(own.to(), own.from());
  const auto shows = [&](const Footprint* other) {
    return other == nullptr || other->half_mm() < own.half_mm() - width_step_mm;
  };
  double turn_rad = 0;
  if (next != nullptr) {
    const PlanePoint onward = minus(next->to(), next->from());
    turn_rad = -sign * std::atan2(way.x * onward.y - way.y * onward.x, dot(way, onward));
  }
  const double end_rad = shows(next) ? std::max(turn_rad, std::numbers::pi / 2) : turn_rad;
  if (end_rad > smallest_turn_rad) add_arc(layer, piece, sign, end_rad, true, outside_only);
  if (shows(before)) add_arc(layer, piece, sign, std::numbers::pi / 2, false, outside_only);
}

void StrokeMeter::add_sides(const IndexedLayer& layer, std::uint32_t first_bead, std::uint32_t beads, bool left,
                            bool right, bool outside_only) {
  const std::vector<Footprint>& footprints = layer.index.footprints();
  const auto by_bead = [](const Footprint& footprint, std::uint32_t bead) { return footprint.bead < bead; };
  const auto first = static_cast<std::size_t>(
      std::lower_bound(footprints.begin(), footprints.end(), first_bead, by_bead) - footprints.begin());
  const auto last = static_cast<std::size_t>(
      std::lower_bound(footprints.begin(), footprints.end(), first_bead + beads, by_bead) - footprints.begin());
  for (const double sign : {1.0, -1.0}) {
    if (!(sign > 0 ? left : right)) continue;
    for (std::size_t piece = first; piece < last; ++piece) {
      const Footprint& own = footprints[piece];
      const PlanePoint way = minus(own.to(), own.from());
      const double length_mm = std::sqrt(dot(way, way));
      if (length_mm < rounding_mm / 10) continue;
      const PlanePoint outward{-sign * way.y / length_mm, sign * way.x / length_mm};
      add_free_parts(layer, piece,
                     {.from = ahead(own.from(), outward, own.half_mm()),
                      .to = ahead(own.to(), outward, own.half_mm()),
                      .inward = {-outward.x, -outward.y},
                      .half_mm = own.half_mm(),
                      .bead = own.bead,
                      .run = 0},
                     outside_only);
      // A loop goes on at its begin; an open stroke has round ends.
      const Footprint* before = piece > first ? &footprints[piece - 1] : outside_only ? nullptr : &footprints[last - 1];
      const Footprint* next = piece + 1 < last ? &footprints[piece + 1] : outside_only ? nullptr : &footprints[first];
      add_ends(layer, piece, before, next, sign, outside_only);
    }
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
    if (!wanted[loop.first_track]) continue;
    const LoopSides sides = sides_of_loop(layer, loop, has_fill[layer.island_of[loop.first]]);
    add_sides(layer, loop.first, loop.beads, sides.left_free, sides.right_free, false);
  }
  for (std::size_t i = 0; i < layer.tracks.size(); ++i) {
    const Track& track = layer.tracks[i];
    if (!in_loop[i] && wanted[i]) add_sides(layer, track.first, track.count, true, true, true);
  }
  // An edge goes on where the one before it ends, round a small corner at most.
  std::uint32_t run = 0;
  for (std::size_t i = 0; i < edges_.size(); ++i) {
    if (i > 0) {
      const PlanePoint step = minus(edges_[i].from, edges_[i - 1].to);
      const bool goes_on = loop_of_[edges_[i].bead] == loop_of_[edges_[i - 1].bead] &&
                           dot(edges_[i].inward, edges_[i - 1].inward) > same_side_cosine &&
                           dot(step, step) < corner_mm * corner_mm;
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

template <class Visit>
void StrokeMeter::near_edges(PlanePoint at, Visit&& visit) const {
  const int column = static_cast<int>((at.x - low_.x) / cell_mm);
  const int row = static_cast<int>((at.y - low_.y) / cell_mm);
  for (int y = std::max(0, row - 1); y <= std::min(rows_ - 1, row + 1); ++y)
    for (int x = std::max(0, column - 1); x <= std::min(columns_ - 1, column + 1); ++x) {
      const auto cell = static_cast<std::size_t>(y) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(x);
      for (std::uint32_t i = starts_[cell]; i < starts_[cell + 1]; ++i) visit(edges_[entries_[i]]);
    }
}

StrokeMeter::Contact StrokeMeter::largest_disc(const Edge& own, PlanePoint at, PlanePoint way, double widest_mm,
                                               bool at_corner) const {
  Contact best{.radius_mm = infinite, .bead = 0, .opposite = false};
  Contact opposite{.radius_mm = infinite, .bead = 0, .opposite = false};
  const double inside = dot(way, own.inward) > 0 ? 1 : -1;
  const double least_mm = inside > 0 && !at_corner ? own.half_mm : 0;
  const auto touch = [&](const Edge& edge, PlanePoint contact, double radius_mm) {
    radius_mm = std::max(radius_mm, least_mm);
    if (!(radius_mm < std::min(best.radius_mm * tie_ratio, opposite.radius_mm)) || 2 * radius_mm > widest_mm) return;
    const PlanePoint middle = ahead(at, way, radius_mm);
    const double cosine = dot(minus(at, middle), minus(contact, middle)) / (radius_mm * radius_mm);
    if (cosine > same_side_cosine) return;
    Contact& nearer = cosine <= opposite_cosine ? opposite : best;
    if (radius_mm < nearer.radius_mm) nearer = {radius_mm, edge.bead, cosine <= opposite_cosine};
  };
  const auto look_at = [&](const Edge& edge) {
    if (&edge == &own) return;
    const auto meets = [&](PlanePoint end) { return dot(minus(end, at), minus(end, at)) < corner_mm * corner_mm; };
    if (at_corner && (meets(edge.from) || meets(edge.to))) return;
    // Discs with a larger radius tell nothing new.
    const double most_mm = std::min({widest_mm / 2, tie_ratio * best.radius_mm, opposite.radius_mm});
    // The way from the edge into the region that the disc lies in.
    const PlanePoint normal{inside * edge.inward.x, inside * edge.inward.y};
    const double facing = dot(way, normal);
    const double distance_mm = dot(minus(at, edge.from), normal);
    if (facing < same_side_cosine && distance_mm > 0) {
      // A disc that reaches an end of the edge reaches the line through it before.
      if (distance_mm > most_mm * (1 - facing)) return;
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
      const PlanePoint to = minus(end, at);
      if (dot(to, to) > 2 * most_mm * dot(to, way)) continue;
      const double radius_mm = radius_through(at, way, end);
      if (radius_mm < opposite.radius_mm) touch(edge, end, radius_mm);
    }
  };
  // What the disc may touch lies within its diameter: rings of cells, outwards, as long as that can matter.
  const int column = static_cast<int>((at.x - low_.x) / cell_mm);
  const int row = static_cast<int>((at.y - low_.y) / cell_mm);
  // The disc lies on one side of the place: no cell that lies on the other holds what it touches.
  const double half_cell_mm = (std::abs(way.x) + std::abs(way.y)) * cell_mm / 2;
  const auto lies_behind = [&](int x, int y) {
    const PlanePoint middle{low_.x + (x + 0.5) * cell_mm, low_.y + (y + 0.5) * cell_mm};
    return dot(minus(middle, at), way) < -half_cell_mm;
  };
  for (int ring = 0;; ++ring) {
    const double nearest_mm = (ring - 1) * cell_mm;
    if (nearest_mm > std::min({widest_mm, 2 * tie_ratio * best.radius_mm, 2 * opposite.radius_mm})) break;
    for (int y = std::max(0, row - ring); y <= std::min(rows_ - 1, row + ring); ++y) {
      const bool whole = y == row - ring || y == row + ring;
      const int step = whole || ring == 0 ? 1 : 2 * ring;
      for (int x = column - ring; x <= column + ring; x += step) {
        if (x < 0 || x >= columns_ || lies_behind(x, y)) continue;
        const auto cell =
            static_cast<std::size_t>(y) * static_cast<std::size_t>(columns_) + static_cast<std::size_t>(x);
        for (std::uint32_t i = starts_[cell]; i < starts_[cell + 1]; ++i) look_at(edges_[entries_[i]]);
      }
    }
  }
  return opposite.radius_mm <= tie_ratio * best.radius_mm ? opposite : best;
}

void StrokeMeter::close_slits(const IndexedLayer& layer) {
  const auto closes = [&](const Edge& edge) {
    const double width_mm = layer.layer.beads[edge.bead].width_mm;
    if (!(width_mm > 0)) return false;
    const PlanePoint middle{(edge.from.x + edge.to.x) / 2, (edge.from.y + edge.to.y) / 2};
    const PlanePoint outward{-edge.inward.x, -edge.inward.y};
    const double narrow_mm = slit_widths * width_mm;
    const Contact across = largest_disc(edge, middle, outward, narrow_mm, false);
    if (!across.opposite) return false;
    if (2 * across.radius_mm < (BeadIndex::touch_ratio - 1) * width_mm) return true;
    return loop_of_[across.bead] == loop_of_[edge.bead] ||
           inside_outline(layer, ahead(middle, outward, across.radius_mm));
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

void StrokeMeter::measure_corner(const Edge& edge, bool at_end, const StrokeReach& reach) {
  const PlanePoint at = at_end ? edge.to : edge.from;
  const PlanePoint along = minus(at_end ? edge.to : edge.from, at_end ? edge.from : edge.to);
  const double length_mm = std::sqrt(dot(along, along));
  const PlanePoint onward{along.x / length_mm, along.y / length_mm};
  // The other edge of the corner is the one that ends nearest to this end.
  double turn_rad = 0;
  double nearest_mm2 = corner_mm * corner_mm;
  near_edges(at, [&](const Edge& other) {
    if (&other == &edge) return;
    const PlanePoint from = minus(other.from, at);
    const PlanePoint to = minus(other.to, at);
    const double near_mm2 = std::min(dot(from, from), dot(to, to));
    if (near_mm2 >= nearest_mm2) return;
    nearest_mm2 = near_mm2;
    turn_rad = std::atan2(dot(other.inward, onward), dot(other.inward, edge.inward));
  });
  for (double turned = corner_step_rad / 2; turned < turn_rad; turned += corner_step_rad / 2) {
    const PlanePoint way{std::cos(turned) * edge.inward.x + std::sin(turned) * onward.x,
                         std::cos(turned) * edge.inward.y + std::sin(turned) * onward.y};
    const Contact behind = largest_disc(edge, at, way, reach.thickest_mm, true);
    if (!behind.opposite) continue;
    samples_.push_back({.at = at,
                        .inward = way,
                        .length_mm = 0,
                        .thickness_mm = 2 * behind.radius_mm,
                        .gap_mm = infinite,
                        .bead = edge.bead,
                        .across = edge.bead,
                        .run = edge.run});
  }
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
      const Contact behind = largest_disc(edge, at, edge.inward, reach.thickest_mm, false);
      const Contact before = largest_disc(edge, at, {-edge.inward.x, -edge.inward.y}, reach.widest_gap_mm, false);
      samples_.push_back({.at = at,
                          .inward = edge.inward,
                          .length_mm = length_mm / count,
                          .thickness_mm = behind.opposite ? 2 * behind.radius_mm : infinite,
                          .gap_mm = before.opposite ? 2 * before.radius_mm : infinite,
                          .bead = edge.bead,
                          .across = before.bead,
                          .run = edge.run});
    }
    if (edge.cut_from) measure_corner(edge, false, reach);
    if (edge.cut_to) measure_corner(edge, true, reach);
  }
}

}  // namespace beadwise
