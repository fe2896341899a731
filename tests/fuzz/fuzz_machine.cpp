// Reader and machine: every number is finite, times never run backward, and the moves do not depend on the blocks.

#include <cmath>
#include <cstdint>
#include <string>
#include <string_view>

#include "fuzz/support/demand.hpp"
#include "gcode/parse_block.hpp"
#include "machine/machine.hpp"
#include "text/block_reader.hpp"

using namespace beadwise;
using fuzz::demand;

namespace {

constexpr std::size_t largest_input = 1 << 20;

/// All that the machine gave out, in words of bytes that compare exactly.
class Told {
 public:
  void number(double value, const char* what) {
    demand(std::isfinite(value), std::string(what) + " is finite");
    bytes_.append(reinterpret_cast<const char*>(&value), sizeof value);
  }
  void number_if_set(double value, const char* what) {
    if (!std::isnan(value)) number(value, what);
    bytes_ += '|';
  }
  void whole(std::uint64_t value) { bytes_.append(reinterpret_cast<const char*>(&value), sizeof value); }
  void text(std::string_view text) { bytes_ += std::string(text) + '\0'; }
  void point(const Point& at, const char* what) {
    number(at.x, what);
    number(at.y, what);
    number(at.z, what);
  }
  const std::string& bytes() const { return bytes_; }

 private:
  std::string bytes_;
};

void tell_arc(const Arc& arc, Told& told) {
  for (const double center : arc.center_mm) told.number(center, "the centre of an arc");
  told.number(arc.radius_mm, "the radius of an arc");
  told.number(arc.start_rad, "the start of an arc");
  told.number(arc.sweep_rad, "the sweep of an arc");
  told.whole(arc.plane);
}

void tell_settings(const Settings& settings, Told& told) {
  for (const double set_c : settings.nozzle_c) told.number_if_set(set_c, "a nozzle's set point");
  told.number_if_set(settings.bed_c, "the bed's set point");
  told.number_if_set(settings.chamber_c, "the chamber's set point");
  told.number(settings.fan_ratio, "the fan");
  told.number(settings.acceleration_mm_per_s2, "the acceleration");
  told.whole(settings.tool);
}

void tell_move(const Move& move, Told& told) {
  told.point(move.from_mm, "the start of a move");
  told.point(move.to_mm, "the end of a move");
  told.number(move.path_mm, "a path");
  told.number(move.filament_mm, "filament");
  told.number(move.fresh_mm, "fresh filament");
  told.number(move.owed_mm, "filament owed");
  told.number(move.feedrate_mm_per_s, "a feed");
  told.number(move.start_s, "the start of a move in time");
  told.number(move.duration_s, "the duration of a move");
  told.number(move.speed.entry_mm_per_s, "a speed of entry");
  told.number(move.speed.peak_mm_per_s, "a peak speed");
  told.number(move.speed.exit_mm_per_s, "a speed of exit");
  told.number(move.speed.acceleration_mm_per_s2, "an acceleration");
  told.whole(move.line);
  told.whole(move.layer);
  told.whole(static_cast<std::uint64_t>(move.kind) << 16U | static_cast<std::uint64_t>(move.role) << 8U |
             (move.rapid ? 1U : 0U) | (move.relative_e ? 2U : 0U) | (move.spiral ? 4U : 0U) |
             (move.after_stop ? 8U : 0U));
}

void tell_event(const Event& event, Told& told) {
  told.whole(static_cast<std::uint64_t>(event.kind) << 8U | static_cast<std::uint64_t>(event.trouble));
  told.whole(event.tool);
  told.whole(event.before);
  told.whole(event.column);
  told.whole(event.layer);
  told.whole(event.line);
  told.number(event.value, "the value of an event");
  told.point(event.at_mm, "the place of an event");
  told.text(event.text);
}

void tell_batch(const MoveBatch& batch, double& clock_s, Told& told) {
  for (const Move& move : batch.moves) {
    demand(move.start_s >= clock_s, "no move starts before the one before it");
    demand(move.duration_s >= 0, "no move takes less than no time");
    demand(move.path_mm >= 0 && move.fresh_mm >= 0 && move.owed_mm >= 0, "lengths are not negative");
    demand(move.speed.entry_mm_per_s >= 0 && move.speed.peak_mm_per_s >= 0 && move.speed.exit_mm_per_s >= 0,
           "speeds are not negative");
    clock_s = move.start_s;
    tell_move(move, told);
    demand(move.settings < batch.settings.size(), "a move has its settings");
    told.whole(move.settings);
    if (move.arc >= 0) tell_arc(batch.arcs.at(static_cast<std::size_t>(move.arc)), told);
  }
  for (const Event& event : batch.events) {
    demand(event.before <= batch.moves.size(), "an event stands in its batch");
    tell_event(event, told);
  }
  for (const Settings& settings : batch.settings) tell_settings(settings, told);
  told.text("batch");
}

MachineSetup setup_for(std::size_t size) {
  MachineSetup setup;
  if (size % 2 == 1) setup.e_unit = EUnit::mm3;
  if (size % 3 == 1) setup.max_speed_mm_per_s = 200;
  if (size % 3 == 2) setup.max_acceleration_mm_per_s2 = 800;
  if (size % 5 == 1) setup.firmware_retraction_mm = 1.2;
  return setup;
}

std::string told_in_blocks_of(std::string_view job, std::size_t block_bytes) {
  BlockReader reader(Source::memory("job", std::string(job)), block_bytes);
  Machine machine(setup_for(job.size()));
  Block block;
  ParsedBlock parsed;
  MoveBatch batch;
  Told told;
  double clock_s = 0;
  const auto drain = [&] {
    while (machine.next(batch)) tell_batch(batch, clock_s, told);
  };
  while (reader.next(block)) {
    parse_block(block, parsed);
    machine.read(parsed);
    drain();
  }
  machine.finish();
  drain();
  return told.bytes();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view job(reinterpret_cast<const char*>(data), size);
  // Packed bytes are the affair of the whole analysis; an empty job is none.
  if (size == 0 || size > largest_input || job.starts_with("\x1F\x8B") || job == "\xEF\xBB\xBF") return 0;
  const std::string whole = told_in_blocks_of(job, size);
  for (const std::size_t block_bytes : {std::size_t{1}, std::size_t{61}, size / 2 + 1})
    demand(told_in_blocks_of(job, block_bytes) == whole, "the moves do not depend on the size of the blocks");
  return 0;
}
