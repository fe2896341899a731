#include "analyse/layer_side.hpp"

#include <algorithm>
#include <utility>

namespace beadwise {

LayerSide::LayerSide(const Profile& profile, Wanted wanted)
    : wanted_(wanted),
      layers_(*profile.machine.filament_diameter_mm, *profile.machine.e_unit),
      stacker_(profile.machine) {
  wanted_.layers = wanted_.layers || wanted_.stack || wanted_.heights;
}

void LayerSide::add(Running running) {
  wanted_.layers = true;
  wanted_.stack = wanted_.stack || running.needs() == Needs::stack;
  running_.push_back(std::move(running));
}

void LayerSide::on_moves(const MoveBatch& batch) {
  for (Running& one : running_) one.check->on_moves(batch, one.findings);
  if (wanted_.stack) travels_.on_moves(batch);
  if (wanted_.layers) layers_.on_moves(batch, [&](Layer& layer) { on_layer(layer); });
}

void LayerSide::finish() {
  if (wanted_.layers) layers_.finish([&](Layer& layer) { on_layer(layer); });
  if (wanted_.stack) stacker_.finish([&](const LayerStack& stack) { on_stack(stack); });
  objects_.finish();
}

void LayerSide::on_layer(Layer& layer) {
  most_beads_ = std::max(most_beads_, layer.beads.size());
  if (wanted_.heights) heights_mm_.push_back(layer.height_mm);
  for (Running& one : running_) one.check->on_layer(layer, one.findings);
  if (!wanted_.stack) return;
  std::vector<Travel> travels = travels_.take(layer.number);
  stacker_.add(std::move(layer), std::move(travels), [&](const LayerStack& stack) { on_stack(stack); });
}

void LayerSide::on_stack(const LayerStack& stack) {
  objects_.on_stack(stack);
  for (Running& one : running_)
    if (one.needs() == Needs::stack) one.check->on_stack(stack, one.findings);
}

}  // namespace beadwise
