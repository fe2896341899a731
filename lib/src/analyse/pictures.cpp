#include "analyse/pictures.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <span>

#include "analyse/draw_layer.hpp"
#include "analyse/named_lines.hpp"
#include "analyse/strip_recorder.hpp"
#include "analyse/wanted_layers.hpp"
#include "beadwise/error.hpp"
#include "gcode/parse_block.hpp"
#include "machine/machine.hpp"
#include "model/bead_roles.hpp"
#include "model/layer_builder.hpp"
#include "model/layer_stack.hpp"
#include "model/travel_log.hpp"
#include "text/block_reader.hpp"

namespace beadwise {

namespace {

// Of one layer: more than fill a plate of 300 mm with the lines of a fine nozzle.
constexpr std::size_t most_beads_of_layer = 150'000;
constexpr std::size_t most_beads_of_layer_in_full = 1'000'000;
// Of all layers together: some tens of megabytes while a report is made.
constexpr std::size_t most_beads_of_findings = 600'000;
constexpr std::size_t most_beads_in_full = 3'000'000;
constexpr std::size_t most_beginnings = 512;

/// The second reading of one job.
class Drawing {
 public:
  Drawing(const Profile& profile, std::span<const Finding> findings, ReportData data)
      : profile_(profile),
        wanted_(findings, data),
        most_beads_(data == ReportData::full ? most_beads_in_full : most_beads_of_findings),
        most_beads_of_layer_(data == ReportData::full ? most_beads_of_layer_in_full : most_beads_of_layer),
        lines_(named_lines(findings)),
        machine_(setup_from(profile.machine)),
        layers_(*profile.machine.filament_diameter_mm, *profile.machine.e_unit),
        strips_(profile) {}

  void read(const ParsedBlock& block) {
    machine_.read(block);
    drain();
  }

  Pictures finish() {
    machine_.finish();
    drain();
    layers_.finish([&](Layer& layer) { on_layer(layer); });
    pass_lines(lines_.empty() ? 0 : lines_.back(), pictures_.duration_s);
    pictures_.strips = strips_.strips(pictures_.duration_s);
    tell_left_out();
    return std::move(pictures_);
  }

 private:
  void drain() {
    while (machine_.next(batch_)) {
      travels_.on_moves(batch_);
      layers_.on_moves(batch_, [&](Layer& layer) { on_layer(layer); });
      strips_.on_moves(batch_);
      for (const Move& move : batch_.moves) on_move(move);
    }
  }

  void on_move(const Move& move) {
    tool_ = batch_.settings_of(move).tool;
    pass_lines(move.line, move.start_s);
    if (move.kind == MoveKind::bead && move.layer != layer_) {
      layer_ = move.layer;
      begin_layer(move.start_s);
    }
    filament_mm_[tool_] += move.filament_mm;
    pictures_.duration_s = std::max(pictures_.duration_s, move.start_s + move.duration_s);
  }

  /// Lines without a move have their turn when the next move begins.
  void pass_lines(std::uint64_t line, double time_s) {
    for (; next_line_ < lines_.size() && lines_[next_line_] <= line; ++next_line_)
      pictures_.moments.push_back({lines_[next_line_], time_s, filament_mm_[tool_], tool_});
  }

  void begin_layer(double time_s) {
    if (layers_begun_++ % every_ != 0) return;
    pictures_.beginnings.push_back({layer_, time_s});
    if (pictures_.beginnings.size() <= most_beginnings) return;
    std::size_t kept = 0;
    for (std::size_t i = 0; i < pictures_.beginnings.size(); i += 2)
      pictures_.beginnings[kept++] = pictures_.beginnings[i];
    pictures_.beginnings.resize(kept);
    every_ *= 2;
  }

  void on_layer(Layer& layer) {
    std::vector<Travel> travels = travels_.take(layer.number);
    if (!wanted_.wants(layer.number)) return;
    ++layers_wanted_;
    IndexedLayer indexed;
    indexed.layer = std::move(layer);
    indexed.travels = std::move(travels);
    const std::span<const PicturePoint> places = wanted_.places_on(indexed.layer.number);
    const std::uint64_t left_out = keep_beads_near(indexed, places, most_beads_of_layer_);
    index_layer(indexed, profile_.machine);
    LayerPicture picture = drawn(indexed);
    picture.beads_left_out = left_out;
    picture.rank = wanted_.rank(picture.layer);
    beads_ += picture.beads.size();
    pictures_.layers.push_back(std::move(picture));
    make_room();
  }

  void make_room() {
    while (beads_ > most_beads_) {
      std::uint32_t rank = 0;
      for (const LayerPicture& one : pictures_.layers) rank = std::max(rank, one.rank);
      std::erase_if(pictures_.layers, [&](const LayerPicture& one) {
        if (one.rank != rank) return false;
        beads_ -= one.beads.size();
        return true;
      });
    }
  }

  void tell_left_out() {
    const std::size_t missing = layers_wanted_ - pictures_.layers.size();
    if (missing > 0)
      pictures_.left_out.push_back(
          fmt::format("Of {} layers {} are kept: there is no room for more.", layers_wanted_, pictures_.layers.size()));
  }

  const Profile& profile_;
  WantedLayers wanted_;
  std::size_t most_beads_;
  std::size_t most_beads_of_layer_;
  std::vector<std::uint64_t> lines_;
  Machine machine_;
  LayerBuilder layers_;
  TravelLog travels_;
  StripRecorder strips_;
  MoveBatch batch_;
  Pictures pictures_;
  std::array<double, 64> filament_mm_{};
  std::size_t next_line_ = 0;
  std::size_t layers_wanted_ = 0;
  std::size_t beads_ = 0;
  std::uint32_t layer_ = 0;
  std::uint64_t layers_begun_ = 0;
  std::uint64_t every_ = 1;
  std::uint8_t tool_ = 0;
};

Pictures nothing_drawn(std::string because) {
  Pictures pictures;
  pictures.left_out.push_back(std::move(because));
  return pictures;
}

}  // namespace

void add_pictures(const Source& source, const AnalyseOptions& options, const Profile& profile, FileReport& report) {
  try {
    Drawing drawing(profile, report.findings, options.report_data);
    BlockReader reader(source, options.block_bytes);
    Block block;
    ParsedBlock parsed;
    while (reader.next(block)) {
      parse_block(block, parsed);
      drawing.read(parsed);
    }
    report.pictures = drawing.finish();
    if (reader.sha256() != report.sha256)
      report.pictures = nothing_drawn("The file changed while it was read: nothing of it is drawn.");
  } catch (const Error& error) {
    if (error.kind() != ErrorKind::file) throw;
    report.pictures = nothing_drawn("The file could not be read a second time: nothing of it is drawn.");
  }
}

}  // namespace beadwise
