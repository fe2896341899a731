#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/melt_basis.hpp"
#include "checks/support/melt_runs.hpp"
#include "checks/support/place_of.hpp"
#include "checks/support/wording.hpp"
#include "machine/in_order.hpp"
#include "model/melt_zone.hpp"

namespace beadwise::checks::excess_flow {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::warning, Severity::error},
      .symptoms = {Symptom::under_extrusion, Symptom::clogging, Symptom::weak_layers, Symptom::tube_pushed_out},
      .thresholds = {
          {.key = "share_ratio",
           .built_in = 0.65,
           .unit = "ratio",
           .meaning = "a larger share of the flow that the zone heats through, lived through over a zone's worth of "
                      "filament, is likely to show",
           .source = "common practice: over 73 prints that their owners kept, read as PLA with a zone of 20 mm, two "
                     "are above it; the load on the drive rises several times over between half and full flow, Read "
                     "et al. 2024, doi 10.1007/s40192-024-00350-w"},
          {.key = "zone_ratio",
           .built_in = 1,
           .unit = "ratio",
           .meaning = "so many melt zones' worth of filament on end make an error of a cold core, and a warning of a "
                      "large share",
           .source = "derived: by then nothing in the zone is left of the heat from before"},
          {.key = "least_ratio",
           .built_in = 0.05,
           .unit = "ratio",
           .meaning = "a cold core over a shorter part of a melt zone's worth passes unseen",
           .source = "common practice: 1 mm of 20 mm, some drops of melt"},
          {.key = "inlet_c",
           .built_in = MeltSetup::room_c,
           .unit = "°C",
           .meaning = "temperature of the filament where it enters the zone",
           .source = "common practice: a heated room"},
          {.key = "prime_beads",
           .built_in = 4,
           .unit = "beads",
           .meaning = "the first beads of each tool are a line beside the part that fills the nozzle, fast on purpose",
           .source = "common practice: one to four long beads"}}};
  return description;
}

namespace {

// Raising a nozzle above it, one has to know what it is lined with: the liner's limit, liner-overheat.
constexpr double liner_warning_c = 240;

/// What is known of one tool.
struct Tool {
  std::uint64_t beads = 0;
  double pushed_mm = 0;  ///< drawn into the zone by a push or a prime line, and not out of it yet
  MeltRuns cold;
  MeltRuns large_share;
};

class ExcessFlow final : public Check {
 public:
  explicit ExcessFlow(const CheckContext& context)
      : context_(context),
        share_(context.limit("share_ratio")),
        zone_ratio_(context.limit("zone_ratio").value),
        least_ratio_(context.limit("least_ratio").value),
        prime_beads_(static_cast<std::uint64_t>(std::max(0.0, context.limit("prime_beads").value))),
        candidates_(melt_candidates(context.profile)) {
    if (candidates_.empty()) return;
    for (MeltCandidate& candidate : candidates_) candidate.setup.inlet_c = context.limit("inlet_c").value;
    zone_mm_ = candidates_.front().setup.melt_zone_mm;
    filament_mm2_ = zone_volume_mm3(candidates_.front().setup) / zone_mm_;
    zone_.emplace(zone_mm_);
  }

  void on_moves(const MoveBatch& batch, Findings&) override {
    if (!zone_) return;
    in_order(
        batch, [&](const Event& event) { zone_->on_event(event); },
        [&](const Move& move) {
          if (move.fresh_mm > 0) on_fresh(batch.settings_of(move), move);
        });
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    switched_ = job.extruder_switched;
    misread_ = job.e_misread != EMisread::no;
    if (skipped()) return;
    for (auto& [number, tool] : tools_) {
      tool.cold.end();
      tool.large_share.end();
      const MeltFound& cold = tool.cold.found();
      const MeltFound& large = tool.large_share.found();
      if (cold.runs > 0)
        findings.add(cold_core(number, cold));
      else if (large.runs > 0)
        findings.add(large_share(number, large));
    }
  }

  std::optional<std::string> skipped() const override {
    if (!zone_) return why_no_melt(context_.profile).value_or("the melt zone is unknown");
    if (switched_) return "the file switches the extruder on and off by commands, so the flow is unknown";
    if (misread_) return "the file has its E words read the wrong way round, so the flow is unknown";
    if (!any_set_point_) return "the file sets no nozzle temperature while beads are laid";
    return std::nullopt;
  }

 private:
  void on_fresh(const Settings& settings, const Move& move) {
    const std::span<const MeltPiece> pieces = zone_->on_move(move, settings.tool);
    if (pieces.empty()) return;
    const double nozzle_c = settings.tool_c();
    if (nozzle_c != limits_at_c_) choose_limits(nozzle_c);
    Tool& tool = tool_of(settings.tool);
    // Pushes into the air, and lines that fill the nozzle, are fast on purpose: they neither count nor end a run.
    const bool counts = move.kind == MoveKind::bead && move.role != BeadRole::prime && ++tool.beads > prime_beads_;
    if (!counts) {
      if (is_fast(pieces)) tool.pushed_mm = std::min(zone_mm_, tool.pushed_mm + move.fresh_mm);
      return;
    }
    any_set_point_ = any_set_point_ || !std::isnan(nozzle_c);
    // A nozzle that melts nothing at all is told by cold-extrusion.
    if (!std::isfinite(heating_s_)) return;
    for (const MeltPiece& piece : pieces) {
      // What such a push drew into the zone had no time in it through no fault of the beads that it leaves in.
      if (tool.pushed_mm > 0)
        tool.pushed_mm -= piece.filament_mm;
      else
        judge(tool, piece, nozzle_c, move);
    }
  }

  bool is_fast(std::span<const MeltPiece> pieces) const {
    return std::isfinite(heating_s_) && std::any_of(pieces.begin(), pieces.end(), [&](const MeltPiece& piece) {
             return std::min(piece.first_residence_s, piece.last_residence_s) < reserve_s_;
           });
  }

  Tool& tool_of(std::uint8_t number) {
    if (last_tool_ != nullptr && last_number_ == number) return *last_tool_;
    const auto [found, is_new] =
        tools_.try_emplace(number, Tool{0, 0, MeltRuns(least_ratio_ * zone_mm_), MeltRuns(zone_ratio_ * zone_mm_)});
    last_number_ = number;
    last_tool_ = &found->second;
    return *last_tool_;
  }

  void choose_limits(double nozzle_c) {
    limits_at_c_ = nozzle_c;
    heating_s_ = heating_time_s(melted(nozzle_c).setup, nozzle_c);
    reserve_s_ = share_.value > 0 ? heating_s_ / share_.value : std::numeric_limits<double>::max();
  }

  const MeltCandidate& melted(double nozzle_c) const { return soonest_heated(candidates_, nozzle_c); }
  const MeltSetup& setup_of(const MeltWorst& worst) const { return melted(worst.nozzle_c).setup; }

  void judge(Tool& tool, const MeltPiece& piece, double nozzle_c, const Move& move) {
    const double least_s = std::min(piece.first_residence_s, piece.last_residence_s);
    const double slowest_limit_s = std::max(heating_s_, reserve_s_);
    if (least_s >= slowest_limit_s) {
      tool.cold.end();
      tool.large_share.end();
      return;
    }
    MeltWorst at;
    at.residence_s = std::max(least_s, 1e-9);
    at.share = heating_s_ / at.residence_s;
    at.nozzle_c = nozzle_c;
    at.feedrate_mm_per_s = move.feedrate_mm_per_s;
    at.area_mm2 = filament_mm2_ * move.filament_mm / move.path_mm;
    at.layer = move.layer;
    const Place place = place_of(move, zone_mm_ * filament_mm2_ / at.residence_s);
    tool.cold.add(piece, heating_s_, move, at, place);
    tool.large_share.add(piece, reserve_s_, move, at, place);
  }

  Finding cold_core(std::uint8_t tool, const MeltFound& found) const {
    const bool long_enough = found.longest_mm >= zone_ratio_ * zone_mm_ * (1 - 1e-9);
    Finding finding = base(tool, "cold core", found, 1);
    finding.severity = long_enough && melt_is_stated(context_.profile) ? Severity::error : Severity::warning;
    finding.what = flow_sentence(tool, found) +
                   fmt::format(" The core leaves at {:.0f} °C, below the {} °C at which {} flows.{}",
                               core_c(setup_of(found.worst), found.worst.residence_s, found.worst.nozzle_c),
                               figure(setup_of(found.worst).flow_temperature_c), melted(found.worst.nozzle_c).name,
                               melt_guesses(context_.profile));
    finding.why =
        "The core of the filament stays solid down to the orifice. The pressure that is needed to squeeze it through "
        "rises steeply: the drive gear slips and grinds, too little comes out, and a guide tube can be pushed out of "
        "its holder. What does come out is too cold to weld to the layer below.";
    finding.remedy = speed_remedy(found.worst, true) + " " + heat_remedy(found.worst, 1);
    return finding;
  }

  Finding large_share(std::uint8_t tool, const MeltFound& found) const {
    Finding finding = base(tool, "little reserve", found, share_.value);
    finding.severity = Severity::warning;
    finding.what = flow_sentence(tool, found) + fmt::format(" That is {:.0f} % of it, where {} % leave a reserve.{}",
                                                            100 * found.worst.share, figure(100 * share_.value, 1),
                                                            melt_guesses(context_.profile));
    finding.why =
        "Between half and full flow the load on the drive rises several times over. With so little reserve a colder "
        "room, a worn gear or filament somewhat too thick is enough for the gear to slip: the walls come out thin and "
        "weak.";
    finding.remedy = speed_remedy(found.worst, false) + " " + heat_remedy(found.worst, share_.value);
    return finding;
  }

  Finding base(std::uint8_t tool, std::string_view what, const MeltFound& found, double share) const {
    Finding finding;
    finding.check = context_.name;
    finding.symptoms = {Symptom::under_extrusion, Symptom::clogging, Symptom::weak_layers};
    const Setting<Drive>& drive = context_.profile.machine.drive;
    if (drive.known() && *drive == Drive::bowden) finding.symptoms.push_back(Symptom::tube_pushed_out);
    finding.key = fmt::format("tool {}, {}", tool, what);
    finding.measured = Measured{.value = asked(found.worst),
                                .limit = share * heated(found.worst),
                                .unit = "mm³/s",
                                .limit_from = share == 1 ? Origin::built_in : share_.from};
    finding.places = found.places;
    return finding;
  }

  double asked(const MeltWorst& worst) const { return flow_of_residence_mm3_per_s(setup_of(worst), worst.residence_s); }
  double heated(const MeltWorst& worst) const { return heated_flow_mm3_per_s(setup_of(worst), worst.nozzle_c); }

  std::string flow_sentence(std::uint8_t tool, const MeltFound& found) const {
    const std::string of_tool = tools_.size() > 1 ? fmt::format(" of tool {}", tool) : std::string();
    return fmt::format(
        "In {}, over {} mm of filament{} ({}), the flow through the melt zone reaches {:.1f} mm³/s; at {} °C its {} mm "
        "heat {:.1f} mm³/s through.",
        layers_of(found.places), figure(found.filament_mm, 0), of_tool, lasting(found.time_s), asked(found.worst),
        figure(found.worst.nozzle_c, 1), figure(zone_mm_, 1), heated(found.worst));
  }

  static std::string lasting(double time_s) {
    constexpr double long_s = 120;
    return time_s < long_s ? fmt::format("{:.1f} s", time_s) : fmt::format("{:.0f} min", time_s / 60);
  }

  /// Speed of the worst bead at which a share of the flow that is heated through would leave.
  double speed_at(const MeltWorst& worst, double share) const {
    const double slowed = worst.feedrate_mm_per_s * share / worst.share;
    return std::min(slowed, share * heated(worst) / worst.area_mm2);
  }

  std::string speed_remedy(const MeltWorst& worst, bool melts_first) const {
    const double now = worst.feedrate_mm_per_s;
    const double reserve = speed_at(worst, share_.value);
    // Rounded down: the figure itself has to hold.
    const auto speed = [](double mm_per_s) {
      return mm_per_s < 10 ? figure(std::floor(mm_per_s * 10) / 10, 1) : figure(std::floor(mm_per_s));
    };
    if (!melts_first)
      return fmt::format("Lay the beads of {} at {} mm/s instead of {}, {:.0f} % of their speed.",
                         layers_between(worst.layer, worst.layer), speed(reserve), figure(now, 1), 100 * reserve / now);
    return fmt::format(
        "Lay the beads of {} at {} mm/s instead of {}: there they melt through; at {} mm/s they do so with a reserve.",
        layers_between(worst.layer, worst.layer), speed(speed_at(worst, 1)), figure(now, 1), speed(reserve));
  }

  /// The set point at which this flow is a share of what is heated through.
  std::string heat_remedy(const MeltWorst& worst, double share) const {
    const double needed_c = nozzle_c_for(setup_of(worst), share * worst.residence_s);
    const double rounded_c = std::ceil(needed_c - 1e-6);
    const Setting<double>& safe = context_.profile.filament.max_safe_c;
    const Setting<bool>& liner = context_.profile.machine.liner;
    double most_c = safe.known() ? *safe : std::numeric_limits<double>::infinity();
    std::string_view bound = "above which this material degrades";
    if (liner.known() && *liner && most_c > liner_warning_c) {
      most_c = liner_warning_c;
      bound = "above which the liner degrades";
    }
    if (!std::isfinite(rounded_c) || rounded_c > most_c) {
      if (!std::isfinite(most_c)) return "No nozzle temperature would do it at this speed.";
      return fmt::format("No nozzle temperature will do it at this speed: not even {} °C, {}.", figure(most_c), bound);
    }
    std::string sentence = fmt::format("Or set the nozzle to {} °C instead of {} at this speed.", figure(rounded_c),
                                       figure(worst.nozzle_c, 1));
    const Setting<Range>& usual = context_.profile.filament.nozzle_c;
    if (usual.known() && rounded_c > (*usual).high)
      sentence += fmt::format(" That is above the {} to {} °C at which it is usually printed.", figure((*usual).low),
                              figure((*usual).high));
    if (rounded_c > liner_warning_c && !liner.known())
      sentence += fmt::format(" A hot end with a fluoropolymer liner must not go above {} °C: see its manual.",
                              figure(liner_warning_c));
    return sentence;
  }

  CheckContext context_;
  Limit share_;
  double zone_ratio_;
  double least_ratio_;
  std::uint64_t prime_beads_;
  std::vector<MeltCandidate> candidates_;
  double zone_mm_ = 0;
  double filament_mm2_ = 0;
  std::optional<MeltZone> zone_;
  bool misread_ = false;
  std::map<std::uint8_t, Tool> tools_;
  Tool* last_tool_ = nullptr;
  std::uint8_t last_number_ = 0;
  double limits_at_c_ = std::numeric_limits<double>::quiet_NaN();
  double heating_s_ = 0;
  double reserve_s_ = 0;
  bool any_set_point_ = false;
  bool switched_ = false;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<ExcessFlow>(context); }

}  // namespace beadwise::checks::excess_flow
