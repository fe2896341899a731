#include "model/figure_counter.hpp"
#include "machine/in_order.hpp"

#include <algorithm>
#include <cmath>

#include "model/bead_geometry.hpp"
#include "model/time_series.hpp"

namespace beadwise {

namespace {

constexpr double nothing_mm = 1e-9;
constexpr double flow_window_s = 0.1;

void widen(std::optional<Interval>& interval, double value) {
  if (std::isnan(value)) return;
  if (!interval) interval = Interval{value, value};
  interval->low = std::min(interval->low, value);
  interval->high = std::max(interval->high, value);
}

}  // namespace

FigureCounter::FigureCounter(double filament_diameter_mm)
    : filament_area_mm2_(circle_area_mm2(filament_diameter_mm)), flow_(flow_window_s) {}

void FigureCounter::on_moves(const MoveBatch& batch) {
  filament_line_.on_moves(batch);
  in_order(
      batch, [this](const Event& event) { on_event(event); }, [&](const Move& move) { on_move(batch, move); });
}

void FigureCounter::on_event(const Event& event) {
  if (event.kind == EventKind::dwell) figures_.duration_s += event.value;
  if (event.kind == EventKind::firmware_retraction && !pulled_back_[event.tool]) {
    pulled_back_[event.tool] = true;
    ++figures_.retractions;
  }
  if (event.kind == EventKind::firmware_prime) pulled_back_[event.tool] = false;
}

void FigureCounter::on_move(const MoveBatch& batch, const Move& move) {
  const Settings& settings = batch.settings_of(move);
  ++figures_.moves;
  figures_.duration_s += move.duration_s;
  figures_.filament_fed_mm += move.fresh_mm;
  figures_.head_path_mm += move.path_mm;
  figures_.layers = std::max<std::uint64_t>(figures_.layers, move.layer);
  count_retraction(move, settings.tool);
  count_reversals(move);
  if (move.kind == MoveKind::bead) {
    ++figures_.extruding_moves;
    figures_.extruding_path_mm += move.path_mm;
    figures_.deposited_mm3 += move.filament_mm * filament_area_mm2_;
    bounds_.add(move.from_mm);
    bounds_.add(move.to_mm);
    widen(figures_.nozzle_c, settings.tool_c());
    widen(figures_.bed_c, settings.bed_c);
    count_flow(move);
  } else if (move.kind == MoveKind::travel) {
    ++figures_.travel_moves;
    figures_.travel_path_mm += move.path_mm;
  }
  if (keep_layers_ && move.layer > 0) count_in_layer(move);
}

void FigureCounter::count_retraction(const Move& move, std::uint8_t tool) {
  if (move.filament_mm < -nothing_mm && !pulled_back_[tool]) {
    pulled_back_[tool] = true;
    ++figures_.retractions;
    if (keep_layers_ && !layers_.empty()) ++layers_.back().retractions;
  } else if (move.filament_mm > nothing_mm) {
    pulled_back_[tool] = false;
  }
}

void FigureCounter::count_reversals(const Move& move) {
  const double dx = move.to_mm.x - move.from_mm.x;
  const double dy = move.to_mm.y - move.from_mm.y;
  if (std::abs(dx) > nothing_mm) {
    figures_.head_reversals_x += dx * last_dx_ < 0 ? 1 : 0;
    last_dx_ = dx > 0 ? 1 : -1;
  }
  if (std::abs(dy) > nothing_mm) {
    figures_.head_reversals_y += dy * last_dy_ < 0 ? 1 : 0;
    last_dy_ = dy > 0 ? 1 : -1;
  }
}

void FigureCounter::count_flow(const Move& move) {
  if (move.path_mm <= 0 || move.duration_s <= 0) return;
  const double volume_per_mm = move.filament_mm * filament_area_mm2_ / move.path_mm;
  for_each_phase(move, [&](double start_s, double duration_s, double first, double last) {
    flow_.add(start_s, duration_s, volume_per_mm * first, volume_per_mm * last);
  });
}

void FigureCounter::count_in_layer(const Move& move) {
  if (layers_.empty() || layers_.back().layer != move.layer) {
    if (!layers_.empty()) layers_.back().duration_s = move.start_s - layers_.back().start_s;
    LayerFigures layer;
    layer.layer = move.layer;
    layer.start_s = move.start_s;
    layer.first_line = move.line;
    layers_.push_back(layer);
  }
  LayerFigures& layer = layers_.back();
  layer.duration_s = move.start_s + move.duration_s - layer.start_s;
  if (move.kind == MoveKind::bead) {
    layer.z_mm = move.to_mm.z;
    layer.last_line = move.line;
    ++layer.beads;
    layer.filament_mm += move.filament_mm;
    layer.deposited_mm3 += move.filament_mm * filament_area_mm2_;
    layer.extruding_path_mm += move.path_mm;
    layer.bead_time_s += move.duration_s;
  } else if (move.kind == MoveKind::travel) {
    ++layer.travels;
    layer.travel_path_mm += move.path_mm;
  }
}

JobFigures FigureCounter::figures() {
  flow_.finish();
  figures_.peak_flow_mm3_per_s = flow_.peak_mm3_per_s();
  figures_.max_gear_passes = filament_line_.max_gear_passes();
  if (!bounds_.empty()) {
    figures_.bounds_x_mm = Interval{bounds_.low.x, bounds_.high.x};
    figures_.bounds_y_mm = Interval{bounds_.low.y, bounds_.high.y};
    figures_.bounds_z_mm = Interval{bounds_.low.z, bounds_.high.z};
  }
  for (LayerFigures& layer : layers_)
    if (layer.bead_time_s > 0) layer.mean_flow_mm3_per_s = layer.deposited_mm3 / layer.bead_time_s;
  return figures_;
}

}  // namespace beadwise
