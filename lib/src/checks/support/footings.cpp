#include "checks/support/footings.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "model/bead_path.hpp"
#include "model/islands.hpp"
#include "model/role_kinds.hpp"

namespace beadwise::checks {

namespace {

constexpr std::uint32_t nothing = ~0U;
// A plate holds some hundreds of islands; in a file that begins ever new ones, later ones are not followed.
constexpr std::size_t most_footings = 65536;
// Layers that may lie between an island and what it lies on: those that the stack keeps below, and its own.
constexpr std::size_t most_placed = 6;
// An island is looked at in so many places to find what carries it, and so is what may carry it, so that a small
// support under a large island is found from one side or the other.
constexpr std::uint32_t places_of_carried = 8;
constexpr std::uint32_t places_of_carrier = 4;
// Boxes tell most islands apart; where there are so many pairs of them that this takes long, beads are asked at once.
constexpr std::size_t most_pairs = 20000;
// Brims are laid 0 to 0.3 mm off their part, skirts 2 mm and more: common practice.
constexpr double brim_gap_mm = 0.5;
// Of more beads than this, the area is summed up bead by bead: what they overlap is little of it.
constexpr double summed_from_mm = 60;

const std::array<PlanePoint, Footing::directions>& compass() {
  static const std::array<PlanePoint, Footing::directions> points = [] {
    std::array<PlanePoint, Footing::directions> all{};
    for (std::size_t i = 0; i < all.size(); ++i) {
      const double angle = 2 * std::numbers::pi * static_cast<double>(i) / Footing::directions;
      all[i] = {std::cos(angle), std::sin(angle)};
    }
    return all;
  }();
  return points;
}

double along(PlanePoint direction, PlanePoint place) { return direction.x * place.x + direction.y * place.y; }

/// The moments of a rectangle along a piece of a bead.
AreaMoments moments_of(const Footprint& footprint) {
  const PlanePoint a = footprint.from();
  const PlanePoint b = footprint.to();
  const double dx = b.x - a.x;
  const double dy = b.y - a.y;
  const double length = std::hypot(dx, dy);
  const double x = (a.x + b.x) / 2;
  const double y = (a.y + b.y) / 2;
  const double area = 2 * footprint.half_mm() * length;
  AreaMoments sum{.area_mm2 = area,
                  .x_mm3 = area * x,
                  .y_mm3 = area * y,
                  .xx_mm4 = area * (x * x + dx * dx / 12),
                  .xy_mm4 = area * (x * y + dx * dy / 12),
                  .yy_mm4 = area * (y * y + dy * dy / 12)};
  return sum;
}

void reach(Footing& footing, const Footprint& footprint) {
  for (std::size_t i = 0; i < Footing::directions; ++i) {
    const PlanePoint direction = compass()[i];
    const double end_mm = std::max(along(direction, footprint.from()), along(direction, footprint.to()));
    footing.reach_mm[i] = std::max(footing.reach_mm[i], end_mm + footprint.half_mm());
  }
}

bool is_open(BeadRole role) { return role == BeadRole::infill || is_support(role) || role == BeadRole::prime; }

void count(Footing& footing, BeadRole role, double length_mm) {
  footing.length_mm += length_mm;
  if (role == BeadRole::brim) footing.brim_mm += length_mm;
  if (role == BeadRole::raft) footing.raft_mm += length_mm;
  if (is_open(role)) footing.open_mm += length_mm;
  if (role == BeadRole::skirt) footing.skirt_mm += length_mm;
}

void add(Footing& footing, const Footing& other) {
  footing.contact.add(other.contact);
  for (std::size_t i = 0; i < Footing::directions; ++i)
    footing.reach_mm[i] = std::max(footing.reach_mm[i], other.reach_mm[i]);
  footing.height_mm = std::max(footing.height_mm, other.height_mm);
  footing.length_mm += other.length_mm;
  footing.brim_mm += other.brim_mm;
  footing.raft_mm += other.raft_mm;
  footing.open_mm += other.open_mm;
  footing.skirt_mm += other.skirt_mm;
}

double widest_half_mm(const BeadIndex& index) {
  float widest = 0;
  for (const Footprint& footprint : index.footprints()) widest = std::max(widest, footprint.half_width_mm);
  return static_cast<double>(widest);
}

/// Calls `visit(bead, island)` for up to `most` beads of each island, spread over it. `seen` is memory for a count of
/// each island.
template <class Visit>
void sample_beads(const IndexedLayer& indexed, std::uint32_t most, std::vector<std::uint32_t>& seen, Visit&& visit) {
  seen.assign(indexed.islands.size(), 0);
  for (std::uint32_t bead = 0; bead < indexed.island_of.size(); ++bead) {
    const std::uint32_t island = indexed.island_of[bead];
    const std::uint32_t step = (indexed.islands[island].beads + most - 1) / most;
    if (seen[island]++ % step == 0) visit(bead, island);
  }
}

}  // namespace

double Footing::longest_mm() const {
  double longest = 0;
  for (std::size_t i = 0; i < directions / 2; ++i)
    longest = std::max(longest, reach_mm[i] + reach_mm[i + directions / 2]);
  return longest;
}

double Footing::covered_ratio() const {
  // A convex outline whose tangents in turned-on directions lie at h has sides of (h₋ + h₊ − 2 h cos θ) / sin θ and an
  // area of half the sum of h times its side (Minkowski).
  constexpr double step = 2 * std::numbers::pi / directions;
  double twice_mm2 = 0;
  for (std::size_t i = 0; i < directions; ++i) {
    const double before_mm = reach_mm[(i + directions - 1) % directions];
    const double after_mm = reach_mm[(i + 1) % directions];
    twice_mm2 += reach_mm[i] * (before_mm + after_mm - 2 * reach_mm[i] * std::cos(step)) / std::sin(step);
  }
  return twice_mm2 > 0 ? std::min(1.0, 2 * contact.area_mm2 / twice_mm2) : 0;
}

double Footing::section_modulus_mm3() const {
  double least = 1e300;
  const PlanePoint middle = contact.middle_mm();
  for (std::size_t i = 0; i < directions; ++i) {
    const double edge_mm = reach_mm[i] - along(compass()[i], middle);
    if (edge_mm > 0) least = std::min(least, contact.second_moment_mm4(compass()[i]) / edge_mm);
  }
  return least < 1e300 ? least : 0;
}

std::span<const Footing> Footings::on_stack(const LayerStack& stack) {
  joined_.clear();
  const IndexedLayer& indexed = stack.layer;
  Placed placed;
  if (placed_.size() >= most_placed) {
    placed = std::move(placed_.front());
    placed_.pop_front();
  }
  placed.layer = indexed.layer.number;
  placed.widest_half_mm = widest_half_mm(indexed.index);
  placed.nodes.assign(indexed.islands.size(), nothing);
  if (indexed.layer.on_plate)
    begin(indexed, placed.nodes);
  else
    follow(stack, placed);
  for (const Node node : placed.nodes) {
    if (node == nothing) continue;
    Footing& footing = footings_[root_of(node)];
    footing.height_mm = std::max(footing.height_mm, indexed.layer.z_mm);
  }
  placed_.push_back(std::move(placed));
  return joined_;
}

std::vector<Footing> Footings::standing() const {
  std::vector<Footing> left;
  for (Node node = 0; node < footings_.size(); ++node)
    if (parents_[node] == node) left.push_back(footings_[node]);
  return left;
}

void Footings::begin(const IndexedLayer& indexed, std::vector<Node>& nodes) {
  sort_footprints(indexed);
  for (std::uint32_t island = 0; island < nodes.size() && footings_.size() < most_footings; ++island) {
    const Bead& first = indexed.layer.beads[indexed.islands[island].first];
    nodes[island] = static_cast<Node>(footings_.size());
    parents_.push_back(nodes[island]);
    Footing& footing = footings_.emplace_back();
    footing.first_height_mm = indexed.layer.height_mm;
    footing.line = first.line;
    footing.layer = indexed.layer.number;
    footing.at_mm = first.from_mm;
    footing.reach_mm.fill(-1e300);
    measure(indexed, island, footing);
  }
  for (std::uint32_t bead = 0; bead < indexed.layer.beads.size(); ++bead) {
    const Node node = nodes[indexed.island_of[bead]];
    if (node != nothing) count(footings_[node], indexed.roles[bead], indexed.layer.beads[bead].path_mm);
  }
  for (std::uint32_t island = 0; island < nodes.size(); ++island)
    if (nodes[island] != nothing) add_close_skirt(indexed, island, nodes);
}

/// A skirt as close as a brim is laid is one.
void Footings::add_close_skirt(const IndexedLayer& indexed, std::uint32_t island, const std::vector<Node>& nodes) {
  constexpr double most_of_it = 0.5;
  Footing& skirt = footings_[nodes[island]];
  if (skirt.skirt_mm <= most_of_it * skirt.length_mm) return;
  const std::vector<Footprint>& footprints = indexed.index.footprints();
  Node part = nothing;
  for (std::uint32_t i = starts_[island]; part == nothing && i < starts_[island + 1]; ++i) {
    const Footprint& own = footprints[order_[i]];
    indexed.index.near(own.from(), own.to(), own.half_mm() + brim_gap_mm, [&](const Footprint& other) {
      const std::uint32_t beside = indexed.island_of[other.bead];
      if (beside == island || nodes[beside] == nothing) return;
      const double reach_mm = own.half_mm() + other.half_mm() + brim_gap_mm;
      if (squared_distance_mm2(own.from(), own.to(), other.from(), other.to()) <= reach_mm * reach_mm)
        part = root_of(nodes[beside]);
    });
  }
  if (part == nothing || part == root_of(nodes[island])) return;
  skirt.brim_mm += skirt.skirt_mm;
  skirt.skirt_mm = 0;
  unite(part, root_of(nodes[island]));
}

void Footings::sort_footprints(const IndexedLayer& indexed) {
  const std::vector<Footprint>& footprints = indexed.index.footprints();
  starts_.assign(indexed.islands.size() + 1, 0);
  for (const Footprint& footprint : footprints) ++starts_[indexed.island_of[footprint.bead] + 1];
  for (std::size_t i = 1; i < starts_.size(); ++i) starts_[i] += starts_[i - 1];
  seen_.assign(starts_.begin(), starts_.end());
  order_.resize(footprints.size());
  for (std::uint32_t i = 0; i < footprints.size(); ++i) order_[seen_[indexed.island_of[footprints[i].bead]]++] = i;
}

void Footings::measure(const IndexedLayer& indexed, std::uint32_t island, Footing& footing) {
  const bool summed = indexed.islands[island].length_mm > summed_from_mm;
  chosen_.clear();
  for (std::uint32_t i = starts_[island]; i < starts_[island + 1]; ++i) {
    const Footprint& footprint = indexed.index.footprints()[order_[i]];
    reach(footing, footprint);
    if (summed)
      footing.contact.add(moments_of(footprint));
    else
      chosen_.push_back(footprint);
  }
  if (!summed) footing.contact = area_.of(chosen_);
}

void Footings::follow(const LayerStack& stack, Placed& placed) {
  below_.clear();
  for (const IndexedLayer* layer : stack.below)
    for (const Placed& one : placed_)
      if (one.layer == layer->layer.number && one.nodes.size() == layer->islands.size())
        below_.push_back({layer, &one, {}});
  if (below_.empty()) return;
  const Node alone = only_one();
  if (alone != nothing) {
    placed.nodes.assign(placed.nodes.size(), alone);
    return;
  }
  settle_by_boxes(stack.layer, placed);
  if (std::find(in_doubt_.begin(), in_doubt_.end(), 1) == in_doubt_.end()) return;
  ask_below(stack.layer, placed.nodes);
  for (const Below& below : below_) ask_above(stack.layer, below, placed.nodes);
}

/// Where everything below stands on one footing, there is nothing to ask: what hangs in the air beside it is carried by
/// nothing else.
Footings::Node Footings::only_one() {
  Node alone = nothing;
  for (const Below& below : below_)
    for (const Node node : below.placed->nodes) {
      if (node == nothing) continue;
      if (alone != nothing && root_of(node) != alone) return nothing;
      alone = root_of(node);
    }
  return alone;
}

void Footings::settle_by_boxes(const IndexedLayer& indexed, Placed& placed) {
  std::size_t pairs = 0;
  for (const Below& below : below_) pairs += below.layer->islands.size() * indexed.islands.size();
  const bool many = pairs > most_pairs;
  in_doubt_.assign(indexed.islands.size(), many ? 1 : 0);
  for (Below& below : below_) below.asked.assign(below.layer->islands.size(), many ? 1 : 0);
  if (many) return;
  for (std::size_t i = 0; i < indexed.islands.size(); ++i) {
    Node& node = placed.nodes[i];
    const auto each_candidate = [&](auto&& visit) {
      for (Below& below : below_) {
        const double reach_mm = placed.widest_half_mm + below.placed->widest_half_mm;
        for (std::size_t j = 0; j < below.asked.size(); ++j) {
          if (below.placed->nodes[j] == nothing) continue;
          if (overlap(indexed.islands[i].box_mm, below.layer->islands[j].box_mm, reach_mm)) visit(below, j);
        }
      }
    };
    each_candidate([&](const Below& below, std::size_t j) {
      const Node root = root_of(below.placed->nodes[j]);
      if (node != nothing && node != root) in_doubt_[i] = 1;
      node = root;
    });
    if (in_doubt_[i] == 0) continue;
    node = nothing;
    each_candidate([](Below& below, std::size_t j) { below.asked[j] = 1; });
  }
}

void Footings::ask_below(const IndexedLayer& indexed, std::vector<Node>& nodes) {
  sample_beads(indexed, places_of_carried, seen_, [&](std::uint32_t bead, std::uint32_t island) {
    if (in_doubt_[island] == 0) return;
    const Point middle = point_on_bead(indexed.layer.beads[bead], indexed.layer.arcs, 0.5);
    const PlanePoint place{middle.x, middle.y};
    for (const Below& below : below_)
      below.layer->index.near(place, place, 0, [&](const Footprint& footprint) {
        const Node carrier = below.placed->nodes[below.layer->island_of[footprint.bead]];
        if (carrier == nothing) return;
        if (nodes[island] != nothing && root_of(carrier) == root_of(nodes[island])) return;
        if (footprint.holds(place)) carry(nodes[island], carrier);
      });
  });
}

void Footings::ask_above(const IndexedLayer& indexed, const Below& below, std::vector<Node>& nodes) {
  seen_.assign(below.layer->islands.size(), 0);
  for (const Footprint& carrier : below.layer->index.footprints()) {
    const std::uint32_t carrying = below.layer->island_of[carrier.bead];
    const Node node = below.placed->nodes[carrying];
    if (node == nothing || below.asked[carrying] == 0) continue;
    const std::uint32_t step = (below.layer->islands[carrying].beads + places_of_carrier - 1) / places_of_carrier;
    if (seen_[carrying]++ % step != 0) continue;
    const PlanePoint place{(carrier.from().x + carrier.to().x) / 2, (carrier.from().y + carrier.to().y) / 2};
    indexed.index.near(place, place, 0, [&](const Footprint& footprint) {
      const std::uint32_t island = indexed.island_of[footprint.bead];
      if (in_doubt_[island] == 0) return;
      if (nodes[island] != nothing && root_of(nodes[island]) == root_of(node)) return;
      if (footprint.holds(place)) carry(nodes[island], node);
    });
  }
}

void Footings::carry(Node& carried, Node carrier) {
  const Node one = root_of(carrier);
  if (carried == nothing) {
    carried = one;
    return;
  }
  const Node other = root_of(carried);
  if (one == other) return;
  joined_.push_back(footings_[one]);
  joined_.push_back(footings_[other]);
  carried = unite(one, other);
}

/// The earlier one is the root, so that what is left stands in the order in which it began.
Footings::Node Footings::unite(Node one, Node other) {
  const Node root = std::min(one, other);
  const Node leaf = std::max(one, other);
  add(footings_[root], footings_[leaf]);
  parents_[leaf] = root;
  return root;
}

Footings::Node Footings::root_of(Node node) {
  while (parents_[node] != node) {
    parents_[node] = parents_[parents_[node]];
    node = parents_[node];
  }
  return node;
}

}  // namespace beadwise::checks
