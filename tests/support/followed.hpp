#pragma once

#include <string_view>
#include <vector>

#include "beadwise/bead.hpp"
#include "machine/machine.hpp"
#include "model/layer_builder.hpp"

namespace beadwise::tests {

/// A job as the machine follows it: all of it in one batch.
struct Followed {
  MoveBatch batch;
  std::vector<Layer> layers;

  const Settings& settings_of(std::size_t move) const { return batch.settings_of(batch.moves.at(move)); }
  std::vector<Event> events(EventKind kind) const;
};

Followed follow(std::string_view gcode, const MachineSetup& setup = {});

}  // namespace beadwise::tests
