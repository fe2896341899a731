#include "support/medial_axis.hpp"

#include <algorithm>
#include <boost/polygon/voronoi.hpp>
#include <cmath>
#include <numbers>
#include <unordered_map>

namespace beadwise::tests {

namespace {

namespace bp = boost::polygon;

struct GridPoint {
  std::int32_t x = 0;
  std::int32_t y = 0;
};

/// A side of the boundary; the region lies to the left of it.
struct Side {
  GridPoint from;
  GridPoint to;
};

}  // namespace
}  // namespace beadwise::tests

namespace boost::polygon {

template <>
struct geometry_concept<beadwise::tests::GridPoint> {
  using type = point_concept;
};
template <>
struct point_traits<beadwise::tests::GridPoint> {
  using coordinate_type = std::int32_t;
  static coordinate_type get(const beadwise::tests::GridPoint& point, orientation_2d axis) {
    return axis == HORIZONTAL ? point.x : point.y;
  }
};
template <>
struct geometry_concept<beadwise::tests::Side> {
  using type = segment_concept;
};
template <>
struct segment_traits<beadwise::tests::Side> {
  using coordinate_type = std::int32_t;
  using point_type = beadwise::tests::GridPoint;
  static point_type get(const beadwise::tests::Side& side, direction_1d end) {
    return end.to_int() == LOW ? side.from : side.to;
  }
};

}  // namespace boost::polygon

namespace beadwise::tests {

namespace {

using Diagram = bp::voronoi_diagram<double>;

PlanePoint operator+(PlanePoint a, PlanePoint b) { return {a.x + b.x, a.y + b.y}; }
PlanePoint operator-(PlanePoint a, PlanePoint b) { return {a.x - b.x, a.y - b.y}; }
PlanePoint operator*(PlanePoint a, double by) { return {a.x * by, a.y * by}; }
double dot(PlanePoint a, PlanePoint b) { return a.x * b.x + a.y * b.y; }
double cross(PlanePoint a, PlanePoint b) { return a.x * b.y - a.y * b.x; }
double length(PlanePoint a) { return std::hypot(a.x, a.y); }

PlanePoint in_mm(GridPoint point) { return {point.x * region_grid_mm, point.y * region_grid_mm}; }

/// What a cell of the diagram is nearest to: a side, or a corner (then both are the same).
struct Site {
  PlanePoint from;
  PlanePoint to;
  bool corner = false;

  PlanePoint nearest(PlanePoint place) const {
    if (corner) return from;
    const PlanePoint along = to - from;
    return from + along * std::clamp(dot(place - from, along) / dot(along, along), 0.0, 1.0);
  }
};

void add_sides(Outline outline, bool hole, std::vector<Side>& sides) {
  if ((signed_area_mm2(outline) < 0) != hole) std::reverse(outline.begin(), outline.end());
  const auto on_grid = [](PlanePoint point) {
    return GridPoint{static_cast<std::int32_t>(std::lround(point.x / region_grid_mm)),
                     static_cast<std::int32_t>(std::lround(point.y / region_grid_mm))};
  };
  for (std::size_t i = 0; i < outline.size(); ++i)
    sides.push_back({on_grid(outline[i]), on_grid(outline[(i + 1) % outline.size()])});
}

std::vector<Side> sides_of(const Region& region) {
  std::vector<Side> sides;
  for (const Area& area : region) {
    add_sides(area.outer, false, sides);
    for (const Outline& hole : area.holes) add_sides(hole, true, sides);
  }
  return sides;
}

class AxisBuilder {
 public:
  explicit AxisBuilder(const Region& region) : sides_(sides_of(region)) {
    bp::construct_voronoi(sides_.begin(), sides_.end(), &diagram_);
  }

  MedialAxis build() {
    for (const auto& edge : diagram_.edges())
      // Of the two halves of an edge the one that lies first.
      if (edge.is_primary() && edge.is_finite() && &edge < edge.twin() && inside(edge)) add(edge);
    return std::move(axis_);
  }

 private:
  Site site_of(const Diagram::cell_type& cell) const {
    const Side& side = sides_[cell.source_index()];
    if (cell.contains_segment()) return {in_mm(side.from), in_mm(side.to), false};
    const bool start = cell.source_category() == bp::SOURCE_CATEGORY_SEGMENT_START_POINT;
    const PlanePoint corner = in_mm(start ? side.from : side.to);
    return {corner, corner, true};
  }

  static PlanePoint place_of(const Diagram::vertex_type& vertex) {
    return PlanePoint{vertex.x(), vertex.y()} * region_grid_mm;
  }

  bool inside(const Diagram::edge_type& edge) const {
    const PlanePoint middle = (place_of(*edge.vertex0()) + place_of(*edge.vertex1())) * 0.5;
    for (const Diagram::cell_type* cell : {edge.cell(), edge.twin()->cell()}) {
      if (!cell->contains_segment()) continue;
      const Site site = site_of(*cell);
      return cross(site.to - site.from, middle - site.from) > 0;
    }
    // Between two corners: by the sides that a ray to the right crosses.
    bool odd = false;
    for (const Side& side : sides_) {
      const PlanePoint a = in_mm(side.from);
      const PlanePoint b = in_mm(side.to);
      if ((a.y > middle.y) != (b.y > middle.y) && middle.x < a.x + (middle.y - a.y) / (b.y - a.y) * (b.x - a.x))
        odd = !odd;
    }
    return odd;
  }

  std::uint32_t node_of(const Diagram::vertex_type& vertex, const Site& site) {
    const auto [known, fresh] = node_of_.try_emplace(&vertex, static_cast<std::uint32_t>(axis_.nodes.size()));
    if (fresh) add_node(place_of(vertex), site);
    return known->second;
  }

  std::uint32_t add_node(PlanePoint place, const Site& site) {
    axis_.nodes.push_back({place, length(place - site.nearest(place))});
    return static_cast<std::uint32_t>(axis_.nodes.size() - 1);
  }

  void add(const Diagram::edge_type& edge) {
    const Site left = site_of(*edge.cell());
    const Site right = site_of(*edge.twin()->cell());
    std::uint32_t before = node_of(*edge.vertex0(), left);
    const std::uint32_t last = node_of(*edge.vertex1(), left);
    for (const PlanePoint place : between(axis_.nodes[before].at, axis_.nodes[last].at, left, right)) {
      const std::uint32_t node = add_node(place, left);
      connect(before, node, left, right);
      before = node;
    }
    connect(before, last, left, right);
  }

  void connect(std::uint32_t from, std::uint32_t to, const Site& left, const Site& right) {
    const PlanePoint middle = (axis_.nodes[from].at + axis_.nodes[to].at) * 0.5;
    MedialEdge edge{from, to, 0, left.nearest(middle), right.nearest(middle)};
    const PlanePoint a = edge.left - middle;
    const PlanePoint b = edge.right - middle;
    edge.angle_deg = std::atan2(std::fabs(cross(a, b)), dot(a, b)) * 180 / std::numbers::pi;
    axis_.edges.push_back(edge);
  }

  /// Places on the edge between its ends, so that pieces are short; the narrowest place is always among them.
  static std::vector<PlanePoint> between(PlanePoint a, PlanePoint b, const Site& left, const Site& right) {
    if (left.corner != right.corner) return on_parabola(a, b, left.corner ? left : right, left.corner ? right : left);
    std::vector<double> shares = even_shares(length(b - a));
    // Midway between two corners the edge is narrowest.
    if (left.corner) add_share(dot((left.from + right.from) * 0.5 - a, b - a) / dot(b - a, b - a), shares);
    std::vector<PlanePoint> places;
    for (const double share : shares) places.push_back(a + (b - a) * share);
    return places;
  }

  static std::vector<PlanePoint> on_parabola(PlanePoint a, PlanePoint b, const Site& corner, const Site& side) {
    const PlanePoint along = (side.to - side.from) * (1 / length(side.to - side.from));
    const PlanePoint up{-along.y, along.x};
    const double focus = dot(corner.from - side.from, along);
    const double height = dot(corner.from - side.from, up);
    if (std::fabs(height) < region_grid_mm / 10) return {};
    const double start = dot(a - side.from, along);
    const double end = dot(b - side.from, along);
    std::vector<double> shares = even_shares(length(b - a));
    add_share((focus - start) / (end - start), shares);
    std::vector<PlanePoint> places;
    for (const double share : shares) {
      const double u = start + share * (end - start);
      const double v = ((u - focus) * (u - focus) + height * height) / (2 * height);
      places.push_back(side.from + along * u + up * v);
    }
    return places;
  }

  static std::vector<double> even_shares(double length_mm) {
    const int pieces = static_cast<int>(std::ceil(length_mm / medial_step_mm));
    std::vector<double> shares;
    for (int i = 1; i < pieces; ++i) shares.push_back(static_cast<double>(i) / pieces);
    return shares;
  }

  static void add_share(double share, std::vector<double>& shares) {
    if (!(share > 0 && share < 1)) return;
    shares.insert(std::upper_bound(shares.begin(), shares.end(), share), share);
  }

  std::vector<Side> sides_;
  Diagram diagram_;
  std::unordered_map<const Diagram::vertex_type*, std::uint32_t> node_of_;
  MedialAxis axis_;
};

/// Number of the connected part that each node belongs to.
std::vector<std::uint32_t> parts_of(const MedialAxis& axis) {
  std::vector<std::uint32_t> parent(axis.nodes.size());
  for (std::uint32_t i = 0; i < parent.size(); ++i) parent[i] = i;
  const auto root = [&](std::uint32_t node) {
    while (parent[node] != node) node = parent[node] = parent[parent[node]];
    return node;
  };
  for (const MedialEdge& edge : axis.edges) parent[root(edge.from)] = root(edge.to);
  for (std::uint32_t i = 0; i < parent.size(); ++i) parent[i] = root(i);
  return parent;
}

/// Which edges are left when loose ends are taken away.
std::vector<bool> kept_edges(const MedialAxis& axis, double least_deg) {
  std::vector<std::vector<std::uint32_t>> at_node(axis.nodes.size());
  for (std::uint32_t i = 0; i < axis.edges.size(); ++i)
    for (const std::uint32_t node : {axis.edges[i].from, axis.edges[i].to}) at_node[node].push_back(i);
  std::vector<bool> kept(axis.edges.size(), true);
  std::vector<std::size_t> degree(axis.nodes.size());
  std::vector<std::uint32_t> loose;
  for (std::uint32_t node = 0; node < axis.nodes.size(); ++node)
    if ((degree[node] = at_node[node].size()) == 1) loose.push_back(node);
  while (!loose.empty()) {
    const std::uint32_t node = loose.back();
    loose.pop_back();
    for (const std::uint32_t edge : at_node[node]) {
      if (!kept[edge] || axis.edges[edge].angle_deg >= least_deg) continue;
      kept[edge] = false;
      const std::uint32_t other = axis.edges[edge].from == node ? axis.edges[edge].to : axis.edges[edge].from;
      if (--degree[other] == 1) loose.push_back(other);
    }
  }
  return kept;
}

/// The nodes of strokes that run out to a corner, from the corner to where they are `point_mm` thick or stop widening.
std::vector<bool> points_of(const MedialAxis& axis, double point_mm) {
  std::vector<std::vector<std::uint32_t>> next_to(axis.nodes.size());
  for (const MedialEdge& edge : axis.edges) {
    next_to[edge.from].push_back(edge.to);
    next_to[edge.to].push_back(edge.from);
  }
  std::vector<bool> is_point(axis.nodes.size(), false);
  for (std::uint32_t corner = 0; corner < axis.nodes.size(); ++corner) {
    if (next_to[corner].size() != 1 || axis.nodes[corner].radius_mm > region_grid_mm) continue;
    for (std::uint32_t node = corner; 2 * axis.nodes[node].radius_mm < point_mm;) {
      is_point[node] = true;
      const std::vector<std::uint32_t>& next = next_to[node];
      const auto wider = std::find_if(next.begin(), next.end(), [&](std::uint32_t other) {
        return axis.nodes[other].radius_mm > axis.nodes[node].radius_mm;
      });
      if (wider == next.end()) break;
      node = *wider;
    }
  }
  return is_point;
}

}  // namespace

MedialAxis medial_axis(const Region& region) {
  if (region.empty()) return {};
  return AxisBuilder(region).build();
}

MedialAxis without_ends(const MedialAxis& axis, double least_deg) {
  const std::vector<bool> kept = kept_edges(axis, least_deg);
  const std::vector<std::uint32_t> part = parts_of(axis);
  MedialAxis left;
  std::vector<bool> part_has_edge(axis.nodes.size(), false);
  std::vector<std::uint32_t> number(axis.nodes.size(), 0);
  std::vector<bool> numbered(axis.nodes.size(), false);
  const auto keep = [&](std::uint32_t node) {
    if (!numbered[node]) {
      numbered[node] = true;
      number[node] = static_cast<std::uint32_t>(left.nodes.size());
      left.nodes.push_back(axis.nodes[node]);
    }
    return number[node];
  };
  for (std::size_t i = 0; i < axis.edges.size(); ++i) {
    if (!kept[i]) continue;
    MedialEdge edge = axis.edges[i];
    part_has_edge[part[edge.from]] = true;
    edge.from = keep(edge.from);
    edge.to = keep(edge.to);
    left.edges.push_back(edge);
  }
  std::vector<std::uint32_t> widest(part.begin(), part.end());
  for (std::uint32_t node = 0; node < axis.nodes.size(); ++node)
    if (axis.nodes[node].radius_mm > axis.nodes[widest[part[node]]].radius_mm) widest[part[node]] = node;
  for (std::uint32_t node = 0; node < axis.nodes.size(); ++node)
    if (part[node] == node && !part_has_edge[node]) keep(widest[node]);
  return left;
}

std::optional<Thickness> narrowest_stroke(const Region& region, double point_mm) {
  const MedialAxis axis = without_ends(medial_axis(region));
  const std::vector<bool> is_point = points_of(axis, point_mm);
  std::optional<Thickness> narrowest;
  const auto offer = [&](const MedialNode& node) {
    if (!narrowest || 2 * node.radius_mm < narrowest->width_mm) narrowest = {2 * node.radius_mm, node.at};
  };
  std::vector<bool> on_edge(axis.nodes.size(), false);
  for (const MedialEdge& edge : axis.edges) {
    on_edge[edge.from] = on_edge[edge.to] = true;
    if (edge.angle_deg < opposite_sides_deg) continue;
    for (const std::uint32_t node : {edge.from, edge.to})
      if (!is_point[node]) offer(axis.nodes[node]);
  }
  for (std::size_t node = 0; node < axis.nodes.size(); ++node)
    if (!on_edge[node]) offer(axis.nodes[node]);
  return narrowest;
}

}  // namespace beadwise::tests
