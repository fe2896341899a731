#include "support/stacked.hpp"

#include <utility>

#include "model/travel_log.hpp"
#include "support/followed.hpp"

namespace beadwise::tests {

void for_each_stack(std::string_view gcode, const std::function<void(const LayerStack&)>& on_stack) {
  constexpr double nozzle_mm = 0.4;
  MachineProfile machine;
  machine.nozzle_diameter_mm.value = nozzle_mm;
  LayerStacker stacker(machine);
  Followed followed = follow(gcode);
  TravelLog log;
  log.on_moves(followed.batch);
  for (Layer& layer : followed.layers) {
    std::vector<Travel> travels = log.take(layer.number);
    stacker.add(std::move(layer), std::move(travels), on_stack);
  }
  stacker.finish(on_stack);
}

}  // namespace beadwise::tests
