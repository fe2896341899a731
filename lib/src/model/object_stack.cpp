#include "model/object_stack.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "model/bead_path.hpp"
#include "model/islands.hpp"

namespace beadwise {

namespace {

constexpr std::uint32_t nobody = 0xFFFFFFFF;
constexpr std::size_t most_nodes = 65536;
// As many layers as a stack keeps below, and those that wait.
constexpr std::size_t most_placed = 12;
// What carries an island is asked of so many of its beads, spread evenly, and of so many of each island below: a joint
// that all of them miss is a small part of both. Before an island is called carried by nothing, all are asked.
constexpr std::uint32_t beads_asked = 16;
// What lies under an island by `carrying_heights` carries it. The height is the greater of the two layers', for that of
// a layer that only ends a spiral is next to nothing; and between thin layers supports leave a quarter of a millimetre,
// common practice.
constexpr double least_carrying_mm = 0.3;
constexpr double least_under_mm = 1e-4;
// With more islands below, telling which of them come into question costs more than it saves.
constexpr std::size_t most_candidates = 256;
// So far apart the beads of an object leave their mark on the plate, and so far from a bead a place still belongs to
// it: further than from a bead to its neighbour, nearer than from object to object in practice.
constexpr double mark_every_mm = 3;
constexpr double most_marks = 2048;
constexpr int nearest_cells = 4;

void insert(std::vector<std::uint32_t>& set, std::uint32_t one) {
  if (std::find(set.begin(), set.end(), one) == set.end()) set.push_back(one);
}

// Beads of unknown width reach as far as their middle line.
double half_width_mm(const Bead& bead, double widest_mm) {
  return std::isfinite(bead.width_mm) ? std::clamp(bead.width_mm / 2, 0.0, widest_mm) : 0;
}

/// Where an arc turns back along an axis.
void add_turns(const Bead& bead, const std::vector<Arc>& arcs, Box& box) {
  const Arc& arc = arcs[static_cast<std::size_t>(bead.arc)];
  constexpr double quarter_rad = std::numbers::pi / 2;
  const double first_rad = std::min(arc.start_rad, arc.start_rad + arc.sweep_rad);
  const double last_rad = std::max(arc.start_rad, arc.start_rad + arc.sweep_rad);
  for (double at_rad = std::ceil(first_rad / quarter_rad) * quarter_rad; at_rad < last_rad; at_rad += quarter_rad)
    box.add(point_on_bead(bead, arcs, (at_rad - arc.start_rad) / arc.sweep_rad));
}

}  // namespace

ObjectStack::Node ObjectStack::begin(const Layer& layer) {
  if (parents_.size() >= most_nodes) return nobody;
  const auto node = static_cast<Node>(parents_.size());
  parents_.push_back(node);
  sums_.emplace_back();
  sums_.back().figures.first_layer = layer.number;
  return node;
}

ObjectStack::Node ObjectStack::root_of(Node node) {
  if (node == nobody) return nobody;
  while (parents_[node] != node) {
    parents_[node] = parents_[parents_[node]];
    node = parents_[node];
  }
  return node;
}

ObjectStack::Node ObjectStack::join(Node a, Node b) {
  a = root_of(a);
  b = root_of(b);
  if (a == b || b == nobody) return a;
  if (a == nobody) return b;
  if (b < a) std::swap(a, b);
  parents_[b] = a;
  Sum& into = sums_[a];
  const Sum& from = sums_[b];
  into.box.add(from.box);
  if (from.first_line > 0)
    into.first_line = into.first_line == 0 ? from.first_line : std::min(into.first_line, from.first_line);
  into.figures.beads += from.figures.beads;
  into.figures.deposited_mm3 += from.figures.deposited_mm3;
  into.figures.extruding_path_mm += from.figures.extruding_path_mm;
  into.figures.bead_time_s += from.figures.bead_time_s;
  into.figures.first_layer = std::min(into.figures.first_layer, from.figures.first_layer);
  into.figures.last_layer = std::max(into.figures.last_layer, from.figures.last_layer);
  return a;
}

const ObjectStack::Placed* ObjectStack::placed(std::uint32_t layer) const {
  const auto found =
      std::find_if(placed_.begin(), placed_.end(), [&](const Placed& one) { return one.layer == layer; });
  return found == placed_.end() ? nullptr : &*found;
}

void ObjectStack::sort_beads(const IndexedLayer& layer) {
  bead_starts_.assign(layer.islands.size() + 1, 0);
  std::uint32_t sum = 0;
  for (std::size_t i = 0; i < layer.islands.size(); ++i) {
    bead_starts_[i] = sum;
    sum += layer.islands[i].beads;
  }
  beads_.resize(sum);
  for (std::uint32_t bead = 0; bead < layer.island_of.size(); ++bead)
    beads_[bead_starts_[layer.island_of[bead]]++] = bead;
  for (std::size_t i = layer.islands.size(); i > 0; --i) bead_starts_[i] = bead_starts_[i - 1];
  bead_starts_[0] = 0;
}

void ObjectStack::find_below(const Layer& layer) {
  below_.clear();
  islands_below_ = 0;
  for (const Placed& one : placed_) {
    const double under_mm = layer.z_mm - one.z_mm;
    const double carrying_mm = std::max(carrying_heights * std::max(layer.height_mm, one.height_mm), least_carrying_mm);
    if (one.layer == layer.number || under_mm < least_under_mm || under_mm > carrying_mm) continue;
    below_.push_back(&one);
    islands_below_ += one.nodes.size();
  }
}

void ObjectStack::name_candidates(const Box& box) {
  candidates_.clear();
  for (const Placed* below : below_) {
    const double reach_mm = below->widest_half_mm + placed_.front().widest_half_mm;
    for (std::size_t i = 0; i < below->nodes.size(); ++i)
      if (below->nodes[i] != nobody && overlap(box, below->boxes[i], reach_mm))
        insert(candidates_, root_of(below->nodes[i]));
  }
}

void ObjectStack::add_carriers(const LayerStack& stack, const Bead& bead, double share) {
  const double half_mm = half_width_mm(bead, placed_.front().widest_half_mm);
  const Point at = point_on_bead(bead, stack.layer.layer.arcs, share);
  const PlanePoint place{at.x, at.y};
  for (const IndexedLayer* below : stack.below) {
    const Placed* owners = placed(below->layer.number);
    if (owners == nullptr) continue;
    bool carried = false;
    below->index.near(place, place, half_mm, [&](const Footprint& footprint) {
      const double reach_mm = half_mm + footprint.half_mm();
      if (squared_distance_mm2(place, footprint.from(), footprint.to()) > reach_mm * reach_mm) return;
      carried = true;
      const Node node = root_of(owners->nodes[below->island_of[footprint.bead]]);
      if (node != nobody) insert(carriers_, node);
    });
    if (carried) return;
  }
}

bool ObjectStack::under(const IndexedLayer& layer, std::uint32_t island, PlanePoint place, double half_mm) const {
  bool found = false;
  layer.index.near(place, place, half_mm, [&](const Footprint& footprint) {
    if (found || layer.island_of[footprint.bead] != island) return;
    const double reach_mm = half_mm + footprint.half_mm();
    found = squared_distance_mm2(place, footprint.from(), footprint.to()) <= reach_mm * reach_mm;
  });
  return found;
}

void ObjectStack::add_carriers_from_below(const IndexedLayer& layer, std::uint32_t island) {
  const Box& box = layer.islands[island].box_mm;
  for (const Placed* below : below_) {
    const double reach_mm = below->widest_half_mm + placed_.front().widest_half_mm;
    for (std::size_t i = 0; i < below->nodes.size(); ++i) {
      if (below->nodes[i] == nobody || !overlap(box, below->boxes[i], reach_mm)) continue;
      const Node node = root_of(below->nodes[i]);
      if (std::find(carriers_.begin(), carriers_.end(), node) != carriers_.end()) continue;
      const auto first = below->samples.begin() + below->sample_starts[i];
      const auto last = below->samples.begin() + below->sample_starts[i + 1];
      const bool carries = std::any_of(
          first, last, [&](const Sample& sample) { return under(layer, island, sample.place, sample.half_mm); });
      if (carries) carriers_.push_back(node);
    }
  }
}

void ObjectStack::keep_samples(const IndexedLayer& layer, Placed& into) const {
  for (std::size_t i = 0; i < layer.islands.size(); ++i) {
    into.boxes.push_back(layer.islands[i].box_mm);
    into.sample_starts.push_back(static_cast<std::uint32_t>(into.samples.size()));
    const std::uint32_t count = bead_starts_[i + 1] - bead_starts_[i];
    const std::uint32_t step = (count + beads_asked - 1) / beads_asked;
    for (std::uint32_t k = step / 2; k < count; k += step) {
      const Bead& bead = layer.layer.beads[beads_[bead_starts_[i] + k]];
      const Point at = point_on_bead(bead, layer.layer.arcs, 0.5);
      into.samples.push_back({{at.x, at.y}, half_width_mm(bead, into.widest_half_mm)});
    }
  }
  into.sample_starts.push_back(static_cast<std::uint32_t>(into.samples.size()));
}

ObjectStack::Node ObjectStack::node_of(const LayerStack& stack, std::uint32_t island) {
  const Layer& layer = stack.layer.layer;
  const bool few = islands_below_ <= most_candidates;
  if (few) {
    name_candidates(stack.layer.islands[island].box_mm);
    if (candidates_.empty()) return begin(layer);
  }
  carriers_.clear();
  const std::uint32_t first = bead_starts_[island];
  const std::uint32_t count = bead_starts_[island + 1] - first;
  const auto all_found = [&] { return few && carriers_.size() >= candidates_.size(); };
  const auto ask = [&](std::uint32_t step, double share) {
    for (std::uint32_t i = step / 2; i < count && !all_found(); i += step)
      add_carriers(stack, layer.beads[beads_[first + i]], share);
  };
  ask((count + beads_asked - 1) / beads_asked, 0.5);
  if (few && !all_found()) add_carriers_from_below(stack.layer, island);
  // The ends of a bead that spans a gap are carried, its middle is not.
  for (const double share : {0.0, 1.0, 0.5})
    if (carriers_.empty()) ask(1, share);
  if (carriers_.empty()) return begin(layer);
  Node node = carriers_.front();
  for (const Node other : carriers_) node = join(node, other);
  return node;
}

void ObjectStack::mark(const Bead& bead, const std::vector<Arc>& arcs, Node node) {
  const double marks = std::clamp(std::ceil(bead.path_mm / mark_every_mm), 1.0, most_marks);
  for (double i = 0; i < marks; ++i) {
    const Point at = point_on_bead(bead, arcs, (i + 0.5) / marks);
    cells_.put({at.x, at.y}, node + 1);
  }
}

void ObjectStack::add_beads(const IndexedLayer& layer, const std::vector<Node>& nodes) {
  for (std::size_t i = 0; i < layer.islands.size(); ++i) {
    if (nodes[i] == nobody) continue;
    Sum& sum = sums_[root_of(nodes[i])];
    ObjectFigures& figures = sum.figures;
    const Island& island = layer.islands[i];
    const std::uint64_t line = layer.layer.beads[island.first].line;
    sum.first_line = sum.first_line == 0 ? line : std::min(sum.first_line, line);
    sum.box.add(island.box_mm);
    figures.beads += island.beads;
    figures.deposited_mm3 += island.laid_mm3;
    figures.extruding_path_mm += island.length_mm;
    figures.last_layer = std::max(figures.last_layer, layer.layer.number);
  }
  for (std::size_t i = 0; i < layer.layer.beads.size(); ++i) {
    const Bead& bead = layer.layer.beads[i];
    const Node node = root_of(nodes[layer.island_of[i]]);
    if (node == nobody) continue;
    Sum& sum = sums_[node];
    sum.figures.bead_time_s += static_cast<double>(bead.duration_s);
    if (bead.arc >= 0) add_turns(bead, layer.layer.arcs, sum.box);
    mark(bead, layer.layer.arcs, node);
  }
}

void ObjectStack::on_stack(const LayerStack& stack) {
  const IndexedLayer& layer = stack.layer;
  if (placed_.size() >= most_placed) placed_.pop_back();
  placed_.emplace_front();
  placed_.front().layer = layer.layer.number;
  placed_.front().z_mm = layer.layer.z_mm;
  placed_.front().height_mm = layer.layer.height_mm;
  find_below(layer.layer);
  for (const Footprint& footprint : layer.index.footprints())
    placed_.front().widest_half_mm = std::max(placed_.front().widest_half_mm, footprint.half_mm());
  sort_beads(layer);
  std::vector<Node> nodes;
  for (std::uint32_t i = 0; i < layer.islands.size(); ++i)
    nodes.push_back(below_.empty() ? begin(layer.layer) : node_of(stack, i));
  add_beads(layer, nodes);
  keep_samples(layer, placed_.front());
  placed_.front().nodes = std::move(nodes);
}

void ObjectStack::finish() {
  std::vector<Node> roots;
  for (Node node = 0; node < parents_.size(); ++node)
    if (parents_[node] == node && sums_[node].figures.beads > 0) roots.push_back(node);
  std::sort(roots.begin(), roots.end(), [&](Node a, Node b) { return sums_[a].first_line < sums_[b].first_line; });
  std::vector<std::uint32_t> number_of(parents_.size(), 0);
  objects_.clear();
  for (const Node root : roots) {
    const Sum& sum = sums_[root];
    ObjectFigures figures = sum.figures;
    figures.object = static_cast<std::uint32_t>(objects_.size() + 1);
    figures.x_mm = {sum.box.low.x, sum.box.high.x};
    figures.y_mm = {sum.box.low.y, sum.box.high.y};
    figures.z_mm = {sum.box.low.z, sum.box.high.z};
    number_of[root] = figures.object;
    objects_.push_back(figures);
  }
  numbers_.clear();
  for (Node node = 0; node < parents_.size(); ++node) numbers_.push_back(number_of[root_of(node)]);
}

std::uint32_t ObjectStack::object_at(PlanePoint place) const {
  std::uint32_t nearest = 0;
  int nearest_squared = nearest_cells * nearest_cells + 1;
  for (int up = -nearest_cells; up <= nearest_cells; ++up)
    for (int right = -nearest_cells; right <= nearest_cells; ++right) {
      const int squared = up * up + right * right;
      if (squared >= nearest_squared) continue;
      constexpr double cell_mm = PlateGrid<Node>::cell_mm;
      const Node marked = cells_.at({place.x + right * cell_mm, place.y + up * cell_mm}, 0);
      if (marked == 0) continue;
      nearest_squared = squared;
      nearest = numbers_[marked - 1];
    }
  return nearest;
}

}  // namespace beadwise
