#include "model/melt_zone.hpp"
#include "machine/in_order.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

#include "model/bead_geometry.hpp"
#include "model/cylinder_heating.hpp"

namespace beadwise {

namespace {

// Shorter feeds are taken as even: what their ramps shift is at most a quarter of their time, 1/256 of what filament at
// their pace spends in the zone.
constexpr double even_feeds_per_zone = 64;
// A hostile file feeds a millionth of a millimetre per move: finer steps of the history are joined.
constexpr double finest_steps_per_zone = 16384;
constexpr int steps_per_ramp = 4;
constexpr double least_path_mm = 1e-9;
// Less is what sums round off.
constexpr double least_piece_mm = 1e-10;

double radius_mm(const MeltSetup& setup) { return setup.filament_diameter_mm / 2; }

double fourier(const MeltSetup& setup, double residence_s) {
  return setup.diffusivity_mm2_per_s * residence_s / (radius_mm(setup) * radius_mm(setup));
}

double length_of(const Move& move) { return move.path_mm > least_path_mm ? move.path_mm : std::abs(move.filament_mm); }

/// The three phases of a speed profile along its length.
struct Phases {
  double up_s = 0;
  double up_mm = 0;
  double down_s = 0;
  double down_mm = 0;

  explicit Phases(const SpeedProfile& speed) {
    if (speed.acceleration_mm_per_s2 <= 0) return;
    up_s = (speed.peak_mm_per_s - speed.entry_mm_per_s) / speed.acceleration_mm_per_s2;
    down_s = (speed.peak_mm_per_s - speed.exit_mm_per_s) / speed.acceleration_mm_per_s2;
    up_mm = (speed.peak_mm_per_s + speed.entry_mm_per_s) / 2 * up_s;
    down_mm = (speed.peak_mm_per_s + speed.exit_mm_per_s) / 2 * down_s;
  }
};

/// Time since the start of a move at which `along_mm` of its length are done.
double time_at_s(const Move& move, double along_mm) {
  const SpeedProfile& speed = move.speed;
  const double length_mm = length_of(move);
  if (move.duration_s <= 0 || length_mm <= 0) return 0;
  if (along_mm <= 0) return 0;
  if (along_mm >= length_mm) return move.duration_s;
  const double a = speed.acceleration_mm_per_s2;
  if (a <= 0) return move.duration_s * along_mm / length_mm;
  const Phases phases(speed);
  if (along_mm < phases.up_mm)
    return 2 * along_mm /
           (speed.entry_mm_per_s + std::sqrt(speed.entry_mm_per_s * speed.entry_mm_per_s + 2 * a * along_mm));
  const double left_mm = length_mm - along_mm;
  if (left_mm < phases.down_mm)
    return move.duration_s -
           2 * left_mm / (speed.exit_mm_per_s + std::sqrt(speed.exit_mm_per_s * speed.exit_mm_per_s + 2 * a * left_mm));
  return phases.up_s + (along_mm - phases.up_mm) / speed.peak_mm_per_s;
}

}  // namespace

std::optional<MeltSetup> melt_setup_from(const Profile& profile) {
  const MachineProfile& machine = profile.machine;
  const FilamentProfile& filament = profile.filament;
  const bool known = filament.diffusivity_mm2_per_s.known() && filament.flow_temperature_c.known() &&
                     machine.melt_zone_mm.known() && machine.filament_diameter_mm.known();
  if (!known || *filament.diffusivity_mm2_per_s <= 0 || *machine.melt_zone_mm <= 0) return std::nullopt;
  if (machine.e_unit.known() && *machine.e_unit == EUnit::neither) return std::nullopt;
  MeltSetup setup;
  setup.melt_zone_mm = *machine.melt_zone_mm;
  setup.filament_diameter_mm = *machine.filament_diameter_mm;
  setup.diffusivity_mm2_per_s = *filament.diffusivity_mm2_per_s;
  setup.flow_temperature_c = *filament.flow_temperature_c;
  return setup;
}

double zone_volume_mm3(const MeltSetup& setup) {
  return setup.melt_zone_mm * circle_area_mm2(setup.filament_diameter_mm);
}

double flow_of_residence_mm3_per_s(const MeltSetup& setup, double residence_s) {
  return zone_volume_mm3(setup) / residence_s;
}

double core_c(const MeltSetup& setup, double residence_s, double nozzle_c) {
  return nozzle_c - core_lag(fourier(setup, residence_s)) * (nozzle_c - setup.inlet_c);
}

double mean_c(const MeltSetup& setup, double residence_s, double nozzle_c) {
  return nozzle_c - mean_lag(fourier(setup, residence_s)) * (nozzle_c - setup.inlet_c);
}

double heating_time_s(const MeltSetup& setup, double nozzle_c) {
  if (!(nozzle_c > setup.flow_temperature_c)) return std::numeric_limits<double>::infinity();
  if (setup.flow_temperature_c <= setup.inlet_c) return 0;
  const double lag = (nozzle_c - setup.flow_temperature_c) / (nozzle_c - setup.inlet_c);
  return fourier_for_core_lag(lag) * radius_mm(setup) * radius_mm(setup) / setup.diffusivity_mm2_per_s;
}

double heated_flow_mm3_per_s(const MeltSetup& setup, double nozzle_c) {
  return zone_volume_mm3(setup) / heating_time_s(setup, nozzle_c);
}

double nozzle_c_for(const MeltSetup& setup, double residence_s) {
  const double lag = core_lag(fourier(setup, residence_s));
  if (lag >= 1) return std::numeric_limits<double>::infinity();
  return (setup.flow_temperature_c - lag * setup.inlet_c) / (1 - lag);
}

MeltZone::MeltZone(double melt_zone_mm) : melt_zone_mm_(melt_zone_mm) {
  assert(melt_zone_mm > 0);
  nozzle_reached_c_.fill(std::numeric_limits<double>::quiet_NaN());
}

void MeltZone::on_event(const Event& event) {
  if (stands(event)) waited_s_ += unknown_wait_s;
}

bool MeltZone::stands(const Event& event) {
  const auto reaches = [&](double& reached_c) {
    const bool changes = event.value != reached_c;
    if (changes) reached_c = event.waits ? event.value : std::numeric_limits<double>::quiet_NaN();
    return changes && event.waits;
  };
  switch (event.kind) {
    case EventKind::nozzle_set:
      return reaches(nozzle_reached_c_[event.tool & 63]);
    case EventKind::bed_set:
      return reaches(bed_reached_c_);
    case EventKind::chamber_set:
      return event.waits;
    case EventKind::wait_for_heat:
    case EventKind::homing:
    case EventKind::probing:
    case EventKind::pause:
    case EventKind::filament_change:
    case EventKind::tool_change:
      return true;
    default:
      return event.may_heat;
  }
}

MeltZone::Line& MeltZone::line_of(std::uint8_t tool) {
  std::unique_ptr<Line>& line = lines_[tool & 63];
  if (!line) {
    line = std::make_unique<Line>();
    // What is in the zone before the job counts as heated through.
    line->entered.push_back(
        {.begin_mm = -melt_zone_mm_, .end_mm = 0, .first_s = -unknown_wait_s, .last_s = -unknown_wait_s});
  }
  return *line;
}

std::span<const MeltPiece> MeltZone::on_move(const Move& move, std::uint8_t tool) {
  pieces_.clear();
  if (!(move.fresh_mm > 0)) return {};
  Line& line = line_of(tool);
  const double start_s = move.start_s + waited_s_;
  if (move.duration_s <= 0) {
    // The file gave no speed, so nothing tells how long it takes.
    feed(line, move.fresh_mm, start_s, start_s + unknown_wait_s);
    waited_s_ += unknown_wait_s;
  } else if (move.fresh_mm > melt_zone_mm_ / even_feeds_per_zone) {
    feed_in_steps(line, move, start_s);
  } else {
    // What a retraction owes comes first; only the rest is fresh.
    const double owed_ratio = 1 - move.fresh_mm / move.filament_mm;
    const double first_s = owed_ratio > 0 ? start_s + time_at_s(move, owed_ratio * length_of(move)) : start_s;
    feed(line, move.fresh_mm, first_s, start_s + move.duration_s);
  }
  for (MeltPiece& piece : pieces_) piece.leave_s -= waited_s_;
  return pieces_;
}

void MeltZone::feed_in_steps(Line& line, const Move& move, double start_s) {
  const double length_mm = length_of(move);
  const double fresh_per_mm = move.filament_mm / length_mm;
  double along_mm = std::max(0.0, length_mm - move.fresh_mm / fresh_per_mm);
  double time_s = time_at_s(move, along_mm);
  const auto feed_to = [&](double to_mm, double to_s) {
    if (to_mm <= along_mm) return;
    feed(line, (to_mm - along_mm) * fresh_per_mm, start_s + time_s, start_s + to_s);
    along_mm = to_mm;
    time_s = to_s;
  };
  const SpeedProfile& speed = move.speed;
  const double a = speed.acceleration_mm_per_s2;
  const Phases phases(speed);
  if (move.duration_s > 0 && a > 0) {
    for (int i = 1; i <= steps_per_ramp; ++i) {
      const double t = phases.up_s * i / steps_per_ramp;
      feed_to(speed.entry_mm_per_s * t + a * t * t / 2, t);
    }
    for (int i = steps_per_ramp; i >= 1; --i) {
      const double t = phases.down_s * i / steps_per_ramp;
      feed_to(length_mm - (speed.exit_mm_per_s * t + a * t * t / 2), move.duration_s - t);
    }
  }
  feed_to(length_mm, move.duration_s);
}

void MeltZone::feed(Line& line, double length_mm, double first_s, double last_s) {
  Stretch out;
  out.begin_mm = line.fed_mm;
  out.end_mm = line.fed_mm + length_mm;
  out.first_s = first_s;
  out.last_s = last_s;
  if (out.end_mm <= out.begin_mm) return;
  out.s_per_mm = (last_s - first_s) / (out.end_mm - out.begin_mm);
  line.fed_mm = out.end_mm;
  enter(line, out);
  for (double at_mm = out.begin_mm; at_mm < out.end_mm;) {
    const Stretch& in = line.entered[line.leaving];
    const double gone_mm = in.end_mm + melt_zone_mm_;
    if (gone_mm <= at_mm) {
      ++line.leaving;
      continue;
    }
    const bool all_gone = gone_mm <= out.end_mm;
    const double to_mm = all_gone ? gone_mm : out.end_mm;
    MeltPiece piece;
    piece.filament_mm = to_mm - at_mm;
    piece.first_residence_s = out.time_s(at_mm) - in.time_s(at_mm - melt_zone_mm_);
    piece.leave_s = out.time_s(to_mm);
    piece.last_residence_s = piece.leave_s - (all_gone ? in.last_s : in.time_s(to_mm - melt_zone_mm_));
    if (piece.filament_mm > least_piece_mm) pieces_.push_back(piece);
    at_mm = to_mm;
  }
  forget_left(line);
}

void MeltZone::enter(Line& line, const Stretch& stretch) const {
  Stretch& before = line.entered.back();
  const double joined_mm = stretch.end_mm - before.begin_mm;
  if (joined_mm > melt_zone_mm_ / finest_steps_per_zone) {
    line.entered.push_back(stretch);
    return;
  }
  before.end_mm = stretch.end_mm;
  before.last_s = stretch.last_s;
  before.s_per_mm = (before.last_s - before.first_s) / joined_mm;
}

void MeltZone::forget_left(Line& line) {
  constexpr std::size_t least_erased = 1024;
  if (line.leaving < least_erased || line.leaving < line.entered.size() / 2) return;
  line.entered.erase(line.entered.begin(), line.entered.begin() + static_cast<std::ptrdiff_t>(line.leaving));
  line.leaving = 0;
}

std::span<const MeltSample> MeltRecord::on_moves(const MoveBatch& batch) {
  samples_.clear();
  in_order(
      batch, [this](const Event& event) { zone_.on_event(event); },
      [&](const Move& move) {
        const std::span<const MeltPiece> pieces = zone_.on_move(move, batch.settings_of(move).tool);
        if (move.kind == MoveKind::bead && !pieces.empty()) on_bead(batch, move, pieces);
      });
  return samples_;
}

void MeltRecord::on_bead(const MoveBatch& batch, const Move& move, std::span<const MeltPiece> pieces) {
  const Settings& settings = batch.settings_of(move);
  const double nozzle_c = settings.tool_c();
  if (nozzle_c != heated_at_c_) {
    heated_at_c_ = nozzle_c;
    heated_flow_ = heated_flow_mm3_per_s(setup_, nozzle_c);
  }
  MeltSample sample;
  sample.time_s = move.start_s + move.duration_s;
  sample.residence_s = std::numeric_limits<double>::max();
  for (const MeltPiece& piece : pieces)
    sample.residence_s = std::min({sample.residence_s, piece.first_residence_s, piece.last_residence_s});
  sample.flow_asked_mm3_per_s = flow_of_residence_mm3_per_s(setup_, sample.residence_s);
  sample.flow_heated_mm3_per_s = heated_flow_;
  sample.core_c = core_c(setup_, sample.residence_s, nozzle_c);
  sample.mean_c = mean_c(setup_, sample.residence_s, nozzle_c);
  sample.line = move.line;
  sample.layer = move.layer;
  sample.tool = settings.tool;
  samples_.push_back(sample);
  if (!std::isnan(nozzle_c)) keep(sample);
}

void MeltRecord::keep(const MeltSample& sample) {
  if (!coldest_ || sample.core_c < coldest_->core_c) coldest_ = sample;
  if (!keep_layers_) return;
  if (layers_.empty() || layers_.back().layer != sample.layer) {
    layers_.push_back({sample.layer, sample.core_c});
    return;
  }
  layers_.back().core_c = std::min(layers_.back().core_c, sample.core_c);
}

}  // namespace beadwise
