#include "model/layer_builder.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "model/bead_geometry.hpp"
#include "model/bead_path.hpp"

namespace beadwise {

namespace {

// A long bead is looked at in so many places at most: enough for any machine that exists.
constexpr double most_samples = 512;
// And a layer in so many or one a bead: of solid layers of two metres by two still one each centimetre.
constexpr double most_of_layer = 1'000'000;
// Heights are compared in steps of a hundredth of a millimetre, finer than any layer.
constexpr double height_step_mm = 0.01;
constexpr double share_below = 0.25;
// No usual nozzle lays a higher layer.
constexpr double highest_mm = 1;

double samples_of(const Bead& bead) {
  return std::clamp(std::ceil(bead.path_mm / TopHeights::cell_mm), 1.0, most_samples);
}

/// What part of their samples the beads of a layer are looked at in.
double sampled_ratio(const std::vector<Bead>& beads) {
  if (static_cast<double>(beads.size()) * most_samples <= most_of_layer) return 1;
  double all = 0;
  for (const Bead& bead : beads) all += samples_of(bead);
  return std::min(1.0, most_of_layer / all);
}

}  // namespace

LayerBuilder::LayerBuilder(double filament_diameter_mm, EUnit e_unit)
    : filament_area_mm2_(circle_area_mm2(filament_diameter_mm)), e_unit_(e_unit) {}

void LayerBuilder::add(const MoveBatch& batch, const Move& move) {
  const Settings& settings = batch.settings_of(move);
  if (layer_.beads.empty()) {
    layer_.number = move.layer;
    layer_.spiral = move.spiral;
    layer_.settings = settings;
    layer_.first_line = move.line;
    layer_.start_s = move.start_s;
  }
  Bead bead;
  bead.from_mm = move.from_mm;
  bead.to_mm = move.to_mm;
  bead.path_mm = move.path_mm;
  // What pays back an earlier retraction fills the nozzle and is not laid.
  bead.area_mm2 = move.path_mm > 0 ? move.fresh_mm * filament_area_mm2_ / move.path_mm : 0;
  bead.start_s = move.start_s;
  bead.line = move.line;
  bead.duration_s = static_cast<float>(move.duration_s);
  bead.feedrate_mm_per_s = static_cast<float>(move.feedrate_mm_per_s);
  bead.filament_mm = static_cast<float>(move.filament_mm);
  bead.nozzle_c = static_cast<float>(settings.tool_c());
  bead.fan_ratio = static_cast<float>(settings.fan_ratio);
  bead.role = move.role;
  bead.tool = settings.tool;
  if (move.arc >= 0) {
    bead.arc = static_cast<std::int32_t>(layer_.arcs.size());
    layer_.arcs.push_back(batch.arcs[static_cast<std::size_t>(move.arc)]);
  }
  layer_.beads.push_back(bead);
  layer_.box_mm.add(move.from_mm);
  layer_.box_mm.add(move.to_mm);
  layer_.z_mm = move.to_mm.z;
  layer_.last_line = move.line;
  layer_.end_s = move.start_s + move.duration_s;
}

void LayerBuilder::sample_beads() {
  samples_.clear();
  const double ratio = sampled_ratio(layer_.beads);
  for (const Bead& bead : layer_.beads) {
    const double samples = std::max(1.0, std::floor(ratio * samples_of(bead)));
    for (double i = 0; i < samples; ++i) {
      const Point place = point_on_bead(bead, layer_.arcs, (i + 0.5) / samples);
      samples_.push_back({tops_.cell(place.x, place.y), place.z, bead.path_mm / samples});
    }
  }
}

double LayerBuilder::height_over_below() {
  heights_.clear();
  for (const Sample& sample : samples_) {
    const double over_mm = sample.z_mm - (sample.top_mm == nullptr ? 0 : static_cast<double>(*sample.top_mm));
    if (over_mm >= height_step_mm / 2) heights_.push_back({over_mm, sample.length_mm});
  }
  return heights_.empty() ? layer_.z_mm : weighted_quantile(heights_, share_below);
}

void LayerBuilder::complete() {
  // Heights of what lies below are kept as float: rounded to what a file can mean.
  constexpr double resolution_mm = 1e-4;
  sample_beads();
  double height_mm = height_over_below();
  // A deck across posts lies over air: it is as high as it is over the layer before it.
  const double step_mm = layer_.z_mm - last_z_mm_;
  if (height_mm > highest_mm && step_mm > height_step_mm) height_mm = std::min(height_mm, step_mm);
  last_z_mm_ = layer_.z_mm;
  layer_.height_mm = std::round(height_mm / resolution_mm) * resolution_mm;
  layer_.on_plate = layer_.z_mm - layer_.height_mm < height_step_mm;
  for (Bead& bead : layer_.beads) {
    bead.height_mm = static_cast<float>(layer_.height_mm);
    bead.width_mm = e_unit_ == EUnit::neither ? std::numeric_limits<double>::quiet_NaN()
                                              : bead_width_mm(bead.area_mm2, layer_.height_mm);
  }
  for (const Sample& sample : samples_)
    if (sample.top_mm != nullptr) *sample.top_mm = std::max(*sample.top_mm, static_cast<float>(sample.z_mm));
}

void LayerBuilder::clear() {
  std::vector<Bead> beads = std::move(layer_.beads);
  std::vector<Arc> arcs = std::move(layer_.arcs);
  beads.clear();
  arcs.clear();
  layer_ = Layer{};
  layer_.beads = std::move(beads);
  layer_.arcs = std::move(arcs);
}

}  // namespace beadwise
