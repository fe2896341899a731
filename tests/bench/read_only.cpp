// Reads and parses a job and does nothing else, or follows it with the machine too.
//
//   read_only read|plain|parse|machine|plan|melt|beads|stack FILE
//
// `read` takes the blocks alone, with the hash of their bytes. `plain` is the hand-written loop that the grammar is
// held against: the same blocks, the same lines and words.

#include <cstdint>
#include <cstdio>
#include <string_view>

#include "gcode/parse_block.hpp"
#include "machine/machine.hpp"
#include "model/layer_builder.hpp"
#include "model/layer_stack.hpp"
#include "model/melt_zone.hpp"
#include "model/travel_log.hpp"
#include "support/plain_reader.hpp"
#include "text/block_reader.hpp"

using namespace beadwise;

namespace {

// The machine plans its moves once; planning them a second time shows what planning costs.
void plan_again(MotionPlan& plan, MoveBatch& batch) {
  for (const Move& move : batch.moves) {
    const Arc* arc = move.arc >= 0 ? &batch.arcs[static_cast<std::size_t>(move.arc)] : nullptr;
    plan.add(move, arc, {.speed_mm_per_s = move.feedrate_mm_per_s, .acceleration_mm_per_s2 = 1500, .corner = {}});
  }
  plan.release(batch.moves, batch.moves.size());
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) {
    std::fputs("usage: read_only read|plain|parse|machine|plan|melt|beads|stack FILE\n", stderr);
    return 2;
  }
  const std::string_view what = argv[1];
  BlockReader reader(Source::file(argv[2]));
  Block block;
  ParsedBlock parsed;
  Machine machine{MachineSetup{}};
  LayerBuilder layers(1.75, EUnit::mm);
  // PLA as the built-in materials have it.
  MeltRecord melt({.diffusivity_mm2_per_s = 0.09, .flow_temperature_c = 142});
  MotionPlan again;
  MoveBatch batch;
  std::uint64_t words = 0;
  std::uint64_t moves = 0;
  std::uint64_t beads = 0;
  TravelLog travels;
  LayerStacker stacker{MachineProfile{}};
  std::uint64_t islands = 0;
  const auto on_stack = [&](const LayerStack& stack) { islands += stack.layer.islands.size(); };
  const auto on_layer = [&](Layer& layer) {
    beads += layer.beads.size();
    if (what == "stack") {
      std::vector<Travel> made = travels.take(layer.number);
      stacker.add(std::move(layer), std::move(made), on_stack);
    }
  };
  const auto drain = [&] {
    while (machine.next(batch)) {
      moves += batch.moves.size();
      if (what == "plan") plan_again(again, batch);
      if (what == "melt") melt.on_moves(batch);
      if (what == "stack") travels.on_moves(batch);
      if (what == "beads" || what == "stack") layers.on_moves(batch, on_layer);
    }
  };
  tests::PlainReader plain;
  while (reader.next(block)) {
    if (what == "read") continue;
    if (what == "plain") {
      plain.read(block.bytes);
      for (std::size_t i = 0; i < plain.size(); ++i) words += plain.line(i).words.size();
      continue;
    }
    parse_block(block, parsed);
    for (std::size_t i = 0; i < parsed.size(); ++i) words += parsed.line(i).words.size();
    if (what == "parse") continue;
    machine.read(parsed);
    drain();
  }
  machine.finish();
  drain();
  if (what == "beads" || what == "stack") layers.finish(on_layer);
  stacker.finish(on_stack);
  std::printf("%llu words, %llu moves, %llu beads, %llu islands\n", static_cast<unsigned long long>(words),
              static_cast<unsigned long long>(moves), static_cast<unsigned long long>(beads),
              static_cast<unsigned long long>(islands));
}
