#include "model/layer_stack.hpp"

#include <algorithm>
#include <utility>

#include "model/bead_roles.hpp"
#include "model/islands.hpp"
#include "model/tracks.hpp"

namespace beadwise {

namespace {

// Beads are laid a little wider than the nozzle, and never wider than its face: common practice.
constexpr double usual_width_nozzles = 1.1;
constexpr double widest_nozzles = 4;
constexpr double height_slack = 0.1;
// Layers of other objects, or of supports with their own heights, may come in between.
constexpr std::size_t most_waiting = 4;
constexpr std::size_t most_below = 4;

void index(IndexedLayer& layer, double widest_mm, double usual_mm) {
  layer.index.build(layer.layer, widest_mm, usual_mm);
  find_tracks(layer);
  find_islands(layer);
  infer_roles(layer);
}

}  // namespace

bool LayerStack::carried(PlanePoint place, double margin_mm) const {
  if (layer.layer.on_plate) return true;
  return std::any_of(below.begin(), below.end(),
                     [&](const IndexedLayer* one) { return one->index.covers(place, margin_mm); });
}

bool LayerStack::covered(PlanePoint place, double margin_mm) const {
  return std::any_of(above.begin(), above.end(),
                     [&](const IndexedLayer* one) { return one->index.covers(place, margin_mm); });
}

bool LayerStack::hidden(PlanePoint place) const {
  return std::any_of(above.begin(), above.end(),
                     [&](const IndexedLayer* one) { return one->index.covers(place) || inside_outline(*one, place); });
}

void index_layer(IndexedLayer& layer, const MachineProfile& machine) {
  const double nozzle_mm = nozzle_mm_of(machine);
  index(layer, widest_nozzles * nozzle_mm, usual_width_nozzles * nozzle_mm);
}

LayerStacker::LayerStacker(const MachineProfile& machine) {
  const double nozzle_mm = nozzle_mm_of(machine);
  usual_mm_ = usual_width_nozzles * nozzle_mm;
  widest_mm_ = widest_nozzles * nozzle_mm;
}

void LayerStacker::take_in(Layer&& layer, std::vector<Travel>&& travels) {
  std::unique_ptr<IndexedLayer> indexed = spare_ ? std::move(spare_) : std::make_unique<IndexedLayer>();
  indexed->layer = std::move(layer);
  indexed->travels = std::move(travels);
  index(*indexed, widest_mm_, usual_mm_);
  waiting_.push_back(std::move(indexed));
}

bool LayerStacker::is_ready() const {
  if (waiting_.size() > most_waiting) return true;
  if (waiting_.size() < 2) return false;
  const Layer& first = waiting_.front()->layer;
  const double next_z_mm = first.z_mm + (1 - height_slack) * first.height_mm;
  return std::any_of(std::next(waiting_.begin()), waiting_.end(),
                     [&](const auto& one) { return one->layer.z_mm >= next_z_mm; });
}

LayerStack LayerStacker::stack() {
  IndexedLayer& indexed = *waiting_.front();
  LayerStack stack{.layer = indexed, .below = {}, .above = {}, .before = top_};
  const Layer& layer = indexed.layer;
  const double slack_mm = height_slack * layer.height_mm;
  for (const auto& one : below_) {
    const double under_mm = layer.z_mm - one->layer.z_mm;
    if (under_mm > slack_mm && under_mm <= carrying_heights * std::max(layer.height_mm, one->layer.height_mm))
      stack.below.push_back(one.get());
  }
  std::stable_sort(stack.below.begin(), stack.below.end(),
                   [](const IndexedLayer* a, const IndexedLayer* b) { return a->layer.z_mm > b->layer.z_mm; });
  for (auto one = std::next(waiting_.begin()); one != waiting_.end(); ++one) {
    const Layer& other = (*one)->layer;
    const double bottom_mm = other.z_mm - other.height_mm;
    if (other.z_mm > layer.z_mm + slack_mm && bottom_mm < layer.z_mm + layer.height_mm / 2)
      stack.above.push_back(one->get());
  }
  settle_roles(indexed, stack);
  return stack;
}

void LayerStacker::retire() {
  std::unique_ptr<IndexedLayer> done = std::move(waiting_.front());
  waiting_.pop_front();
  top_.raise(*done);
  // What lies below is asked for by place alone.
  done->layer.beads = std::vector<Bead>();
  done->layer.arcs = std::vector<Arc>();
  done->travels = std::vector<Travel>();
  below_.push_front(std::move(done));
  if (below_.size() <= most_below) return;
  spare_ = std::move(below_.back());
  below_.pop_back();
}

}  // namespace beadwise
