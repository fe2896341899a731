#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/melt_basis.hpp"
#include "checks/support/melt_runs.hpp"
#include "checks/support/place_of.hpp"
#include "checks/support/wording.hpp"
#include "machine/in_order.hpp"
#include "model/bead_geometry.hpp"
#include "model/feed_pressure.hpp"
#include "model/melt_zone.hpp"
#include "model/nozzle_force.hpp"
#include "model/typical_value.hpp"

namespace beadwise::checks::high_feed_pressure {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::note, Severity::warning},
      .symptoms = {Symptom::clogging, Symptom::tube_pushed_out},
      .thresholds = {
          {.key = "share_ratio",
           .built_in = 0.9,
           .unit = "ratio",
           .meaning = "a larger share of the flow that the zone heats through brings the load near its largest",
           .source = "derived: there the load is about 0.7 of that at which the drive slips, after the fit of Read et "
                     "al. 2024, doi 10.1007/s40192-024-00350-w, figure 4"},
          {.key = "zone_ratio",
           .built_in = 1,
           .unit = "ratio",
           .meaning = "so many melt zones' worth of filament on end have to be above that share",
           .source = "derived: by then nothing in the zone is left of the heat from before"},
          {.key = "load_ratio",
           .built_in = 0.75,
           .unit = "ratio",
           .meaning = "a larger part of a stated drive force or hold of the tube is a note; all of it a warning",
           .source = "the highest load that Read et al. 2024 chose to work at, doi 10.1007/s40192-024-00350-w"},
          {.key = "soft_mpa",
           .built_in = 100,
           .unit = "MPa",
           .meaning = "filament with a lower modulus is soft enough to buckle before the gear slips",
           .source = "derived by Euler's formula: at 100 MPa it buckles at 37 N over 5 mm"},
          {.key = "unsupported_mm",
           .built_in = 5,
           .unit = "mm",
           .meaning = "stretch of filament between drive gear and guide that nothing holds; where you state it, "
                      "buckling is a warning",
           .source = "common practice: closely guided drives"},
          {.key = "end_factor",
           .built_in = 0.7,
           .unit = "ratio",
           .meaning = "of that stretch counts after Euler: 1 where both ends may tilt, 0.7 where the gear holds one, "
                      "0.5 where both are held",
           .source = "derived: elastic stability of struts"}}};
  return description;
}

namespace {

// The pressure follows the flow within some tenths of a second; shorter bursts are averaged.
constexpr double window_s = 1;
// The first beads of each tool are a line that fills the nozzle: common practice.
constexpr std::uint64_t prime_beads = 4;
// No viscosity of soft filament was found: 300 Pa s at 1000 1/s, n 0.4, as of other melts (from memory).
constexpr PowerLaw soft_melt{18929, 0.4};

/// The largest flow over a window.
struct Peak {
  double flow_mm3_per_s = 0;
  Place place;
};

struct Tool {
  std::uint64_t beads = 0;
  double window_mm3 = 0;
  double window_time_s = 0;
  double window_c = 0;
  TypicalValue flow;
  std::map<double, Peak> peaks;  ///< by set point
  MeltRuns near_limit;
};

/// A force and where it is reached.
struct Load {
  double force_n = 0;
  double flow_mm3_per_s = 0;
  double nozzle_c = 0;
  bool from_core = false;  ///< of the unmelted core, not of the pressure alone
  Places places;
};

class HighFeedPressure final : public Check {
 public:
  explicit HighFeedPressure(const CheckContext& context)
      : context_(context),
        share_(context.limit("share_ratio")),
        zone_ratio_(context.limit("zone_ratio").value),
        load_(context.limit("load_ratio")),
        soft_mpa_(context.limit("soft_mpa").value),
        unsupported_(context.limit("unsupported_mm")),
        end_factor_(context.limit("end_factor").value),
        candidates_(melt_candidates(context.profile)) {
    const MachineProfile& machine = context.profile.machine;
    bowden_ = machine.drive.known() && *machine.drive == Drive::bowden;
    drive_stated_ = machine.drive_force_n.known();
    tube_stated_ = bowden_ && machine.tube_hold_n.known();
    soft_ = is_soft(context.profile.filament);
    judged_ = readable() && (drive_stated_ || tube_stated_ || soft_ || (bowden_ && !candidates_.empty()));
    if (judged_ && !candidates_.empty() && (drive_stated_ || bowden_))
      zone_.emplace(candidates_.front().setup.melt_zone_mm);
    filament_mm2_ = circle_area_mm2(diameter_mm());
  }

  void on_moves(const MoveBatch& batch, Findings&) override {
    if (!judged_) return;
    in_order(
        batch,
        [&](const Event& event) {
          if (zone_) zone_->on_event(event);
        },
        [&](const Move& move) {
          if (move.fresh_mm > 0) on_fresh(batch.settings_of(move), move);
        });
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    switched_ = job.extruder_switched;
    misread_ = judged_ && job.e_misread != EMisread::no;
    if (skipped()) return;
    for (auto& [number, tool] : tools_) {
      tool.near_limit.end();
      if (drive_stated_ || tube_stated_) add_force(number, tool, findings);
      if (soft_) add_buckling(number, tool, findings);
      const bool unknown_force = bowden_ && !drive_stated_;
      if (unknown_force && tool.near_limit.found().runs > 0) findings.add(near_limit(number, tool));
    }
  }

  std::optional<std::string> skipped() const override {
    if (!readable() || switched_) return "the flow is unknown: E is no length of filament";
    if (misread_) return "the file has its E words read the wrong way round, so the flow is unknown";
    if (judged_) return std::nullopt;
    if (bowden_) return why_no_melt(context_.profile).value_or("the melt zone is unknown");
    return "nobody stated what the drive can push; state machine.drive_force_n, and with a guide tube "
           "machine.drive=bowden and machine.tube_hold_n";
  }

 private:
  double diameter_mm() const { return context_.profile.machine.filament_diameter_mm.value.value_or(1.75); }

  bool readable() const {
    const Setting<EUnit>& unit = context_.profile.machine.e_unit;
    return !unit.known() || *unit != EUnit::neither;
  }

  bool is_soft(const FilamentProfile& filament) const {
    const bool stated = filament.modulus_mpa.stated() || filament.material.stated();
    return stated && filament.modulus_mpa.known() && *filament.modulus_mpa < soft_mpa_;
  }

  void on_fresh(const Settings& settings, const Move& move) {
    const std::span<const MeltPiece> pieces =
        zone_ ? zone_->on_move(move, settings.tool) : std::span<const MeltPiece>();
    if (move.kind != MoveKind::bead || move.role == BeadRole::prime || move.duration_s <= 0) return;
    const double zone_mm = candidates_.empty() ? 0 : candidates_.front().setup.melt_zone_mm;
    Tool& tool =
        tools_.try_emplace(settings.tool, Tool{0, 0, 0, 0, {}, {}, MeltRuns(zone_ratio_ * zone_mm)}).first->second;
    const double nozzle_c = settings.tool_c();
    if (++tool.beads <= prime_beads || std::isnan(nozzle_c)) return;
    add_to_window(tool, nozzle_c, move);
    if (!zone_) return;
    if (nozzle_c != limit_at_c_) {
      limit_at_c_ = nozzle_c;
      heating_s_ = heating_time_s(soonest_heated(candidates_, nozzle_c).setup, nozzle_c);
    }
    if (!std::isfinite(heating_s_)) return;
    for (const MeltPiece& piece : pieces) add_piece(tool, piece, nozzle_c, move);
  }

  void add_to_window(Tool& tool, double nozzle_c, const Move& move) {
    if (nozzle_c != tool.window_c) {
      tool.window_mm3 = tool.window_time_s = 0;
      tool.window_c = nozzle_c;
    }
    tool.window_mm3 += move.filament_mm * filament_mm2_;
    tool.window_time_s += move.duration_s;
    if (tool.window_time_s < window_s) return;
    const double flow = tool.window_mm3 / tool.window_time_s;
    tool.flow.add(flow, tool.window_time_s);
    // A hostile file sets another temperature for every bead; those that come first are told.
    constexpr std::size_t most_set_points = 64;
    if (tool.peaks.size() < most_set_points || tool.peaks.count(nozzle_c) > 0) {
      Peak& peak = tool.peaks[nozzle_c];
      if (flow > peak.flow_mm3_per_s) peak = {flow, place_of(move, flow)};
    }
    tool.window_mm3 = tool.window_time_s = 0;
  }

  void add_piece(Tool& tool, const MeltPiece& piece, double nozzle_c, const Move& move) const {
    const double limit_s = heating_s_ / share_.value;
    const double least_s = std::min(piece.first_residence_s, piece.last_residence_s);
    if (least_s >= limit_s) {
      tool.near_limit.end();
      return;
    }
    MeltWorst at;
    at.residence_s = std::max(least_s, 1e-9);
    at.share = heating_s_ / at.residence_s;
    at.nozzle_c = nozzle_c;
    at.feedrate_mm_per_s = move.feedrate_mm_per_s;
    at.layer = move.layer;
    tool.near_limit.add(piece, limit_s, move, at, place_of(move, flow_of(at)));
  }

  double flow_of(const MeltWorst& at) const {
    return flow_of_residence_mm3_per_s(candidates_.front().setup, at.residence_s);
  }

  HotEndShape shape() const {
    HotEndShape shape;
    shape.orifice_radius_mm = context_.profile.machine.nozzle_diameter_mm.value.value_or(0.4) / 2;
    shape.barrel_radius_mm = std::max(shape.barrel_radius_mm, shape.orifice_radius_mm * 1.01);
    return shape;
  }

  /// Force of the pressure alone, N; none where no viscosity of the material was found.
  std::optional<double> pressure_force_n(double flow_mm3_per_s, double nozzle_c) const {
    const Setting<std::string>& material = context_.profile.filament.material;
    if (!material.known()) return std::nullopt;
    return nozzle_force_n(context_.profile.machine, *material, flow_mm3_per_s, nozzle_c);
  }

  Load largest_load(const Tool& tool) const {
    Load load;
    for (const auto& [nozzle_c, peak] : tool.peaks) {
      const std::optional<double> force_n = pressure_force_n(peak.flow_mm3_per_s, nozzle_c);
      if (!force_n || *force_n <= load.force_n) continue;
      load = {*force_n, peak.flow_mm3_per_s, nozzle_c, false, {}};
      load.places.add(peak.place);
    }
    const MeltFound& found = tool.near_limit.found();
    if (!drive_stated_ || found.runs == 0) return load;
    const MeltWorst& worst = found.worst;
    const double slip_c = nozzle_c_for(soonest_heated(candidates_, worst.nozzle_c).setup, worst.residence_s);
    const double flow = flow_of(worst);
    // Beyond the load at which it slips nothing more is pushed.
    const double ratio = std::isfinite(slip_c) ? std::min(1.0, load_ratio(flow, worst.nozzle_c, slip_c)) : 1.0;
    const double force_n = ratio * *context_.profile.machine.drive_force_n;
    if (force_n > load.force_n) load = {force_n, flow, worst.nozzle_c, true, found.places};
    return load;
  }

  void add_force(std::uint8_t number, const Tool& tool, Findings& findings) const {
    const Load load = largest_load(tool);
    const MachineProfile& machine = context_.profile.machine;
    double least_n = std::numeric_limits<double>::infinity();
    std::string what;
    if (drive_stated_) {
      least_n = *machine.drive_force_n;
      what = fmt::format("the drive brings up {} N", figure(least_n, 1));
    }
    if (tube_stated_ && *machine.tube_hold_n < least_n) {
      least_n = *machine.tube_hold_n;
      what = fmt::format("the guide tube is held by {} N", figure(least_n, 1));
    }
    if (load.force_n <= load_.value * least_n) return;
    Finding finding = base(number, "force", load.places);
    const bool guess = load.from_core && !melt_is_stated(context_.profile);
    finding.severity = load.force_n >= least_n * (1 - 1e-9) && !guess ? Severity::warning : Severity::note;
    finding.what = fmt::format(
        "At {:.1f} mm³/s and {} °C, in {}, feeding takes about {:.1f} N ({}); {}.{}{}", load.flow_mm3_per_s,
        figure(load.nozzle_c, 1), layers_of(load.places), load.force_n,
        load.from_core ? "near the flow that the melt zone heats through the unmelted core bears on the orifice"
                       : "the pressure of the melt alone, a lower bound",
        what, against_usual(tool, load.flow_mm3_per_s), load.from_core ? melt_guesses(context_.profile) : "");
    finding.remedy = remedy();
    finding.measured =
        Measured{.value = load.force_n, .limit = load_.value * least_n, .unit = "N", .limit_from = load_.from};
    findings.add(std::move(finding));
  }

  Finding near_limit(std::uint8_t number, const Tool& tool) const {
    const MeltFound& found = tool.near_limit.found();
    const MachineProfile& machine = context_.profile.machine;
    Finding finding = base(number, "near the limit", found.places);
    finding.severity = Severity::note;
    const double flow = flow_of(found.worst);
    const double heated = flow / found.worst.share;
    finding.what = fmt::format(
        "In {}, over {} mm of filament, {:.1f} mm³/s pass the melt zone, {:.0f} % of what it heats through at {} °C, "
        "and the guide tube bears the whole force.{}{}{}",
        layers_of(found.places), figure(found.filament_mm), flow, 100 * found.worst.share,
        figure(found.worst.nozzle_c, 1), against_usual(tool, flow),
        machine.drive.stated() ? ""
                               : " That the machine has a guide tube is a guess from its retractions: state "
                                 "machine.drive.",
        melt_guesses(context_.profile));
    finding.remedy = remedy() +
                     " State machine.drive_force_n and machine.tube_hold_n to have the force held against "
                     "them.";
    finding.measured =
        Measured{.value = flow, .limit = share_.value * heated, .unit = "mm³/s", .limit_from = share_.from};
    return finding;
  }

  void add_buckling(std::uint8_t number, const Tool& tool, Findings& findings) const {
    Load load;
    for (const auto& [nozzle_c, peak] : tool.peaks) {
      const double force_n = feed_force_n(nozzle_mpa(soft_melt, peak.flow_mm3_per_s, shape()), diameter_mm());
      if (force_n <= load.force_n) continue;
      load = {force_n, peak.flow_mm3_per_s, nozzle_c, false, {}};
      load.places.add(peak.place);
    }
    const double modulus_mpa = *context_.profile.filament.modulus_mpa;
    const double buckles_n = buckling_n(modulus_mpa, diameter_mm(), unsupported_.value, end_factor_);
    if (load.force_n <= buckles_n) return;
    const bool stated = unsupported_.from != Origin::built_in;
    Finding finding = base(number, "buckling", load.places);
    finding.symptoms = {Symptom::clogging};
    finding.severity = stated ? Severity::warning : Severity::note;
    finding.what = fmt::format(
        "At {:.1f} mm³/s, in {}, feeding takes about {:.1f} N; filament of {} MPa buckles at {:.1f} N where {} mm "
        "between gear and guide hold nothing.{}{}",
        load.flow_mm3_per_s, layers_of(load.places), load.force_n, figure(modulus_mpa), buckles_n,
        figure(unsupported_.value, 1), against_usual(tool, load.flow_mm3_per_s),
        stated ? "" : " That stretch is an assumption: state yours by checks.high-feed-pressure.unsupported_mm.");
    finding.why =
        "Soft filament is pushed like a rope: between gear and guide it bends aside, loops out of the drive or winds "
        "round the gear, and nothing comes out any more.";
    // The force goes with Q^n.
    const double flow = load.flow_mm3_per_s * std::pow(buckles_n / load.force_n, 1 / soft_melt.index);
    finding.remedy = fmt::format(
        "Print this part at {:.1f} mm³/s or less, {:.0f} % of the speed, or close the gap between gear and guide: half "
        "the gap bears four times the force. Pull soft filament back slowly and seldom.",
        std::floor(flow * 10) / 10, std::floor(100 * flow / load.flow_mm3_per_s));
    finding.measured =
        Measured{.value = load.force_n, .limit = buckles_n, .unit = "N", .limit_from = unsupported_.from};
    findings.add(std::move(finding));
  }

  Finding base(std::uint8_t tool, std::string_view what, const Places& places) const {
    Finding finding;
    finding.check = context_.name;
    finding.symptoms = {Symptom::clogging};
    if (bowden_) finding.symptoms.push_back(Symptom::tube_pushed_out);
    finding.key = fmt::format("tool {}, {}", tool, what);
    finding.why =
        "The closer the flow comes to what the melt zone heats through, the steeper the force rises. The drive gear "
        "slips and grinds a flat into the filament; where a guide tube bears the force, its holder lets go.";
    finding.places = places;
    return finding;
  }

  /// Force goes with Qⁿ in any melt that thins under shear; how it compares needs no viscosity.
  std::string against_usual(const Tool& tool, double flow_mm3_per_s) const {
    const double usual = tool.flow.median();
    constexpr double worth_saying = 1.2;
    if (!(usual > 0)) return "";
    const double ratio = std::pow(flow_mm3_per_s / usual, soft_melt.index);
    if (ratio < worth_saying) return "";
    return fmt::format(" The melt's own pressure is then about {:.1f} times its usual in this file, at {:.1f} mm³/s.",
                       ratio, usual);
  }

  std::string remedy() const {
    return "Print these layers slower or hotter, within what the filament's maker allows, or through a wider nozzle; "
           "`excess-flow` computes speed and temperature.";
  }

  CheckContext context_;
  Limit share_;
  double zone_ratio_;
  Limit load_;
  double soft_mpa_;
  Limit unsupported_;
  double end_factor_;
  std::vector<MeltCandidate> candidates_;
  bool bowden_ = false;
  bool drive_stated_ = false;
  bool tube_stated_ = false;
  bool soft_ = false;
  bool judged_ = false;
  bool switched_ = false;
  double filament_mm2_ = 0;
  std::optional<MeltZone> zone_;
  bool misread_ = false;
  std::map<std::uint8_t, Tool> tools_;
  double limit_at_c_ = std::numeric_limits<double>::quiet_NaN();
  double heating_s_ = 0;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<HighFeedPressure>(context); }

}  // namespace beadwise::checks::high_feed_pressure
