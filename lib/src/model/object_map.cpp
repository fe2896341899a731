#include "model/object_map.hpp"

#include <algorithm>
#include <cmath>

#include "model/bead_path.hpp"

namespace beadwise {

namespace {

// A bead is entered in so many cells at most, and the map holds so many: enough for any plate that exists.
constexpr double most_steps = 4096;
constexpr std::size_t most_cells = 2'000'000;

std::uint64_t key_of(std::int32_t column, std::int32_t row) {
  return (std::uint64_t{static_cast<std::uint32_t>(column)} << 32U) | static_cast<std::uint32_t>(row);
}

std::int32_t cell_of(double place_mm) {
  return static_cast<std::int32_t>(std::floor(std::clamp(place_mm, -1e8, 1e8) / ObjectMap::cell_mm));
}

}  // namespace

std::uint32_t ObjectMap::root_of(std::uint32_t node) {
  while (parents_[node] != node) {
    parents_[node] = parents_[parents_[node]];
    node = parents_[node];
  }
  return node;
}

std::uint32_t ObjectMap::join(std::uint32_t a, std::uint32_t b) {
  a = root_of(a);
  b = root_of(b);
  if (a == b) return a;
  if (b < a) std::swap(a, b);
  parents_[b] = a;
  Sum& into = sums_[a];
  const Sum& from = sums_[b];
  if (from.figures.beads == 0) return a;
  if (into.figures.beads == 0) {
    into = from;
    return a;
  }
  into.box.add(from.box);
  into.first_line = std::min(into.first_line, from.first_line);
  into.figures.beads += from.figures.beads;
  into.figures.deposited_mm3 += from.figures.deposited_mm3;
  into.figures.extruding_path_mm += from.figures.extruding_path_mm;
  into.figures.bead_time_s += from.figures.bead_time_s;
  into.figures.first_layer = std::min(into.figures.first_layer, from.figures.first_layer);
  into.figures.last_layer = std::max(into.figures.last_layer, from.figures.last_layer);
  return a;
}

std::uint32_t ObjectMap::node_of(double x_mm, double y_mm) {
  const std::int32_t column = cell_of(x_mm);
  const std::int32_t row = cell_of(y_mm);
  const std::uint64_t key = key_of(column, row);
  if (const auto found = cells_.find(key); found != cells_.end()) return found->second;
  const auto node = static_cast<std::uint32_t>(parents_.size());
  parents_.push_back(node);
  sums_.emplace_back();
  if (cells_.size() >= most_cells) return node;
  cells_.emplace(key, node);
  for (std::int32_t dx = -1; dx <= 1; ++dx)
    for (std::int32_t dy = -1; dy <= 1; ++dy)
      if (const auto beside = cells_.find(key_of(column + dx, row + dy)); beside != cells_.end())
        join(node, beside->second);
  return node;
}

void ObjectMap::add(const Bead& bead, const Layer& layer) {
  const double steps = std::clamp(std::ceil(bead.path_mm / cell_mm), 1.0, most_steps);
  std::uint32_t node = node_of(bead.from_mm.x, bead.from_mm.y);
  Box box;
  box.add(bead.from_mm);
  for (double i = 1; i <= steps; ++i) {
    const Point place = point_on_bead(bead, layer.arcs, i / steps);
    box.add(place);
    node = join(node, node_of(place.x, place.y));
  }
  Sum& sum = sums_[root_of(node)];
  ObjectFigures& figures = sum.figures;
  if (figures.beads == 0) {
    sum.first_line = bead.line;
    figures.first_layer = layer.number;
  }
  sum.box.add(box);
  ++figures.beads;
  figures.deposited_mm3 += bead.area_mm2 * bead.path_mm;
  figures.extruding_path_mm += bead.path_mm;
  figures.bead_time_s += static_cast<double>(bead.duration_s);
  figures.last_layer = std::max(figures.last_layer, layer.number);
}

void ObjectMap::on_layer(const Layer& layer) {
  for (const Bead& bead : layer.beads) add(bead, layer);
}

std::vector<ObjectFigures> ObjectMap::objects() const {
  std::vector<const Sum*> found;
  for (std::size_t i = 0; i < sums_.size(); ++i)
    if (parents_[i] == i && sums_[i].figures.beads > 0) found.push_back(&sums_[i]);
  std::sort(found.begin(), found.end(), [](const Sum* a, const Sum* b) { return a->first_line < b->first_line; });
  std::vector<ObjectFigures> objects;
  for (const Sum* sum : found) {
    ObjectFigures figures = sum->figures;
    figures.object = static_cast<std::uint32_t>(objects.size() + 1);
    figures.x_mm = {sum->box.low.x, sum->box.high.x};
    figures.y_mm = {sum->box.low.y, sum->box.high.y};
    figures.z_mm = {sum->box.low.z, sum->box.high.z};
    objects.push_back(figures);
  }
  return objects;
}

}  // namespace beadwise
