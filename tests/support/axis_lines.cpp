#include "support/axis_lines.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace beadwise::tests {

namespace {

// The cosine of the sharpest turn that a line takes at a fork: 45 degrees.
constexpr double straight_enough = 0.707;

/// The part of an axis that lies between two thicknesses.
MedialAxis between(const MedialAxis& axis, double least_mm, double most_mm) {
  MedialAxis part{axis.nodes, {}};
  for (MedialEdge edge : axis.edges) {
    const MedialNode a = axis.nodes[edge.from];
    const MedialNode b = axis.nodes[edge.to];
    const auto share_at = [&](double width_mm) { return (width_mm / 2 - a.radius_mm) / (b.radius_mm - a.radius_mm); };
    const auto cut = [&](std::uint32_t& end, double width_mm) {
      const double share = share_at(width_mm);
      part.nodes.push_back({{a.at.x + share * (b.at.x - a.at.x), a.at.y + share * (b.at.y - a.at.y)}, width_mm / 2});
      end = static_cast<std::uint32_t>(part.nodes.size() - 1);
    };
    const double thin_mm = 2 * std::min(a.radius_mm, b.radius_mm);
    const double thick_mm = 2 * std::max(a.radius_mm, b.radius_mm);
    if (thick_mm < least_mm || thin_mm > most_mm) continue;
    std::uint32_t& thin_end = a.radius_mm < b.radius_mm ? edge.from : edge.to;
    std::uint32_t& thick_end = a.radius_mm < b.radius_mm ? edge.to : edge.from;
    if (thin_mm < least_mm) cut(thin_end, least_mm);
    if (thick_mm > most_mm) cut(thick_end, most_mm);
    part.edges.push_back(edge);
  }
  return part;
}

/// Widens what is thinner than `least_mm` between two thicker places if it is no longer than that: a bead goes through.
void bridge_short_gaps(MedialAxis& axis, double least_mm) {
  const auto thin = [&](std::uint32_t node) { return 2 * axis.nodes[node].radius_mm < least_mm; };
  std::vector<std::vector<std::uint32_t>> at_node(axis.nodes.size());
  for (const MedialEdge& edge : axis.edges) {
    at_node[edge.from].push_back(edge.to);
    at_node[edge.to].push_back(edge.from);
  }
  std::vector<bool> seen(axis.nodes.size(), false);
  for (std::uint32_t start = 0; start < axis.nodes.size(); ++start) {
    if (seen[start] || !thin(start)) continue;
    std::vector<std::uint32_t> gap{start};
    double length_mm = 0;
    int thick_ends = 0;
    seen[start] = true;
    for (std::size_t i = 0; i < gap.size(); ++i)
      for (const std::uint32_t next : at_node[gap[i]]) {
        const MedialNode& a = axis.nodes[gap[i]];
        const MedialNode& b = axis.nodes[next];
        // An edge within the gap is met from both its ends.
        const double thin_share = thin(next) ? 0.5 : (least_mm / 2 - a.radius_mm) / (b.radius_mm - a.radius_mm);
        length_mm += thin_share * std::hypot(b.at.x - a.at.x, b.at.y - a.at.y);
        thick_ends += thin(next) ? 0 : 1;
        if (!thin(next) || seen[next]) continue;
        seen[next] = true;
        gap.push_back(next);
      }
    if (thick_ends < 2 || length_mm > least_mm) continue;
    for (const std::uint32_t node : gap) axis.nodes[node].radius_mm = least_mm / 2;
  }
}

class LineWalk {
 public:
  explicit LineWalk(const MedialAxis& axis) : axis_(axis), at_node_(axis.nodes.size()), used_(axis.edges.size()) {
    for (std::uint32_t i = 0; i < axis.edges.size(); ++i)
      for (const std::uint32_t node : {axis.edges[i].from, axis.edges[i].to}) at_node_[node].push_back(i);
  }

  /// From loose ends first, then from forks, then round what has neither.
  std::vector<BeadLine> walk() {
    for (const bool ends_only : {true, false})
      for (std::uint32_t node = 0; node < axis_.nodes.size(); ++node)
        if (ends_only ? at_node_[node].size() == 1 : at_node_[node].size() > 2) walk_from(node);
    for (std::uint32_t node = 0; node < axis_.nodes.size(); ++node) walk_from(node);
    return std::move(lines_);
  }

 private:
  std::uint32_t other_end(std::uint32_t edge, std::uint32_t node) const {
    return axis_.edges[edge].from == node ? axis_.edges[edge].to : axis_.edges[edge].from;
  }

  LinePlace place(std::uint32_t node) const { return {axis_.nodes[node].at, 2 * axis_.nodes[node].radius_mm}; }

  void walk_from(std::uint32_t start) {
    for (const std::uint32_t first : at_node_[start]) {
      if (used_[first]) continue;
      BeadLine line{place(start)};
      std::uint32_t node = start;
      std::optional<std::uint32_t> edge = first;
      while (edge) {
        used_[*edge] = true;
        node = other_end(*edge, node);
        line.push_back(place(node));
        edge = onward(line, node);
      }
      lines_.push_back(std::move(line));
    }
  }

  std::optional<std::uint32_t> onward(const BeadLine& line, std::uint32_t node) const {
    std::optional<std::uint32_t> best;
    double best_cosine = at_node_[node].size() == 2 ? -2 : straight_enough;
    for (const std::uint32_t edge : at_node_[node]) {
      if (used_[edge]) continue;
      const double cosine = cosine_of_turn(line[line.size() - 2].at, line.back().at, place(other_end(edge, node)).at);
      if (cosine <= best_cosine) continue;
      best_cosine = cosine;
      best = edge;
    }
    return best;
  }

  static double cosine_of_turn(PlanePoint a, PlanePoint b, PlanePoint c) {
    const double lengths = std::hypot(b.x - a.x, b.y - a.y) * std::hypot(c.x - b.x, c.y - b.y);
    if (lengths <= 0) return 1;
    return ((b.x - a.x) * (c.x - b.x) + (b.y - a.y) * (c.y - b.y)) / lengths;
  }

  const MedialAxis& axis_;
  std::vector<std::vector<std::uint32_t>> at_node_;
  std::vector<bool> used_;
  std::vector<BeadLine> lines_;
};

BeadLine dot_at(PlanePoint at, double width_mm) {
  return {{{at.x - dot_mm / 2, at.y}, width_mm}, {{at.x + dot_mm / 2, at.y}, width_mm}};
}

}  // namespace

std::vector<BeadLine> lines_along(const MedialAxis& axis, double least_mm, double most_mm) {
  MedialAxis bridged = axis;
  bridge_short_gaps(bridged, least_mm);
  const MedialAxis part = between(bridged, least_mm, most_mm);
  std::vector<BeadLine> lines = LineWalk(part).walk();
  for (BeadLine& line : lines)
    if (length_mm(line) < dot_mm) line = dot_at(line.front().at, line.front().width_mm);
  std::vector<bool> on_edge(axis.nodes.size(), false);
  for (const MedialEdge& edge : axis.edges) on_edge[edge.from] = on_edge[edge.to] = true;
  for (std::size_t i = 0; i < axis.nodes.size(); ++i) {
    const double width_mm = 2 * axis.nodes[i].radius_mm;
    if (!on_edge[i] && width_mm >= least_mm && width_mm <= most_mm) lines.push_back(dot_at(axis.nodes[i].at, width_mm));
  }
  return lines;
}

}  // namespace beadwise::tests
