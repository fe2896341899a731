#include "support/followed.hpp"

#include <string>

#include "gcode/parse_block.hpp"
#include "text/block_reader.hpp"

namespace beadwise::tests {

namespace {

void append(MoveBatch& all, const MoveBatch& batch) {
  const auto moves = static_cast<std::uint32_t>(all.moves.size());
  const auto settings = static_cast<std::uint32_t>(all.settings.size());
  const auto arcs = static_cast<std::int32_t>(all.arcs.size());
  for (Move move : batch.moves) {
    move.settings += settings;
    if (move.arc >= 0) move.arc += arcs;
    all.moves.push_back(move);
  }
  for (Event event : batch.events) {
    event.before += moves;
    all.events.push_back(event);
  }
  all.settings.insert(all.settings.end(), batch.settings.begin(), batch.settings.end());
  all.arcs.insert(all.arcs.end(), batch.arcs.begin(), batch.arcs.end());
}

}  // namespace

std::vector<Event> Followed::events(EventKind kind) const {
  std::vector<Event> found;
  for (const Event& event : batch.events)
    if (event.kind == kind) found.push_back(event);
  return found;
}

Followed follow(std::string_view gcode, const MachineSetup& setup) {
  BlockReader reader(Source::memory("job", std::string(gcode)));
  Machine machine(setup);
  LayerBuilder builder(setup.filament_diameter_mm, setup.e_unit);
  Followed followed;
  MoveBatch batch;
  const auto on_layer = [&](const Layer& layer) { followed.layers.push_back(layer); };
  const auto drain = [&] {
    while (machine.next(batch)) {
      builder.on_moves(batch, on_layer);
      append(followed.batch, batch);
    }
  };
  Block block;
  ParsedBlock parsed;
  while (reader.next(block)) {
    parse_block(block, parsed);
    machine.read(parsed);
    drain();
  }
  machine.finish();
  drain();
  builder.finish(on_layer);
  return followed;
}

}  // namespace beadwise::tests
