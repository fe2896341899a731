#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <string>

#include "beadwise/check.hpp"
#include "checks/support/place_of.hpp"
#include "checks/support/wording.hpp"
#include "machine/in_order.hpp"

namespace beadwise::checks::heat_creep {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::note, Severity::warning},
      .symptoms = {Symptom::clogging},
      .thresholds = {
          {.key = "chamber_below_c",
           .built_in = 15,
           .unit = "°C",
           .meaning = "a chamber no more than this below the glass transition is worth knowing",
           .source = "common practice: PLA, which softens at 60 °C, in a chamber above 45 °C"},
          {.key = "chamber_close_c",
           .built_in = 5,
           .unit = "°C",
           .meaning = "no more than this, it is likely to show",
           .source = "common practice: PLA in a chamber above 55 °C"},
          {.key = "enclosed_below_c",
           .built_in = 25,
           .unit = "°C",
           .meaning = "a chamber no more than this below the glass transition, over a bed above it, gets warmer than "
                      "it is set",
           .source = "common practice: PLA over a bed of more than 65 °C in a closed housing of 35 °C"},
          {.key = "bed_above_c",
           .built_in = 5,
           .unit = "°C",
           .meaning = "so much hotter than the glass transition the bed has to be for that",
           .source = "common practice: beds of PLA are set to 60 °C, at its glass transition"},
          {.key = "least_transition_c",
           .built_in = 50,
           .unit = "°C",
           .meaning = "materials with a lower glass transition stay stiff above it by their crystals and are left out",
           .source = "common practice: TPU, PP, PA12"},
          {.key = "long_pulls",
           .built_in = 50,
           .unit = "retractions",
           .meaning = "so many retractions beyond the longest that suits the drive carry melt into the cold side again "
                      "and again",
           .source = "common practice"},
          {.key = "slow_s",
           .built_in = 300,
           .unit = "s",
           .meaning = "filament that needs longer to pass a melt zone's length, for several zones on end, soaks the "
                      "heat upward",
           .source = "common practice: 70 times what it needs to be heated through"},
          {.key = "slow_zones",
           .built_in = 3,
           .unit = "zones",
           .meaning = "so many melt zones' worth of filament on end have to be that slow",
           .source = "common practice"},
          {.key = "top_c",
           .built_in = 5,
           .unit = "°C",
           .meaning = "a set point no more than this below the top of the material's range is a high one",
           .source = "common practice"}}};
  return description;
}

namespace {

constexpr double least_mm = 1e-9;

/// What is followed of one tool.
struct Tool {
  double pulled_mm = 0;  ///< since filament was last fed forward
  Place pull_place;
  std::optional<Place> waiting;  ///< a long pull since the last bead
  Places long_pulls;
  double longest_mm = 0;
  double zone_fed_mm = 0;  ///< of the melt zone's worth that is being fed
  double zone_begin_s = 0;
  bool zone_hot = true;  ///< the set point was high all along
  bool zone_begun = false;
  int slow_on_end = 0;
  Place slow_begin;
  double slowest_s = 0;
  double hottest_c = 0;
  Places slow;
};

/// The hottest surroundings in which beads were laid.
struct Surroundings {
  double chamber_c = -std::numeric_limits<double>::infinity();
  double bed_c = -std::numeric_limits<double>::infinity();
  Places places;
  std::uint32_t last_layer = 0;
};

class HeatCreep final : public Check {
 public:
  explicit HeatCreep(const CheckContext& context)
      : context_(context),
        chamber_below_(context.limit("chamber_below_c")),
        chamber_close_(context.limit("chamber_close_c")),
        enclosed_below_c_(context.limit("enclosed_below_c").value),
        bed_above_(context.limit("bed_above_c")),
        least_transition_c_(context.limit("least_transition_c").value),
        long_pulls_(context.limit("long_pulls")),
        slow_(context.limit("slow_s")),
        slow_zones_(context.limit("slow_zones").value),
        top_c_(context.limit("top_c").value) {
    const Profile& profile = context.profile;
    const Setting<double>& transition = profile.filament.glass_transition_c;
    if (transition.known() && *transition >= least_transition_c_) transition_c_ = *transition;
    if (profile.machine.max_retraction_mm.known()) longest_usual_mm_ = *profile.machine.max_retraction_mm;
    if (profile.machine.melt_zone_mm.known()) zone_mm_ = *profile.machine.melt_zone_mm;
    if (profile.filament.nozzle_c.known()) high_c_ = (*profile.filament.nozzle_c).high - top_c_;
  }

  void on_moves(const MoveBatch& batch, Findings&) override {
    in_order(
        batch, [&](const Event& event) { on_event(event); },
        [&](const Move& move) { on_move(batch.settings_of(move), move); });
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    switched_ = job.extruder_switched;
    if (skipped()) return;
    add_surroundings(findings);
    for (auto& [number, tool] : tools_) {
      if (static_cast<double>(tool.long_pulls.count()) >= long_pulls_.value) findings.add(pulls(number, tool));
      if (!tool.slow.empty()) findings.add(slow_feed(number, tool));
    }
  }

  std::optional<std::string> skipped() const override {
    if (switched_) return "the file switches the extruder on and off by commands, so its filament cannot be followed";
    if (context_.profile.filament.glass_transition_c.known()) return std::nullopt;
    return "the material is unknown; state it, --set filament.material=pla and the like, or "
           "filament.glass_transition_c";
  }

 private:
  void on_event(const Event& event) {
    // A change of filament shapes its tip with long pulls.
    if (event.kind == EventKind::tool_change || event.kind == EventKind::filament_change)
      for (auto& [number, tool] : tools_) tool.waiting.reset();
    // Nobody knows for how long the filament stands there.
    const bool stands = event.waits || event.may_heat || event.kind == EventKind::pause ||
                        event.kind == EventKind::filament_change || event.kind == EventKind::tool_change ||
                        event.kind == EventKind::homing || event.kind == EventKind::dwell;
    if (stands)
      for (auto& [number, tool] : tools_) forget_slow(tool);
  }

  void on_move(const Settings& settings, const Move& move) {
    if (move.kind == MoveKind::bead) watch_surroundings(settings, move);
    if (std::abs(move.filament_mm) <= least_mm) return;
    Tool& tool = tools_[settings.tool];
    if (move.filament_mm < 0)
      pull(tool, move);
    else
      settle_pull(tool);
    if (move.kind == MoveKind::bead && tool.waiting) {
      tool.long_pulls.add(*tool.waiting);
      tool.longest_mm = std::max(tool.longest_mm, tool.waiting->value);
      tool.waiting.reset();
    }
    if (move.fresh_mm > 0) feed(tool, settings.tool_c(), move);
  }

  void watch_surroundings(const Settings& settings, const Move& move) {
    if (!transition_c_) return;
    const double chamber_c = chamber_of(settings);
    if (std::isnan(chamber_c)) return;
    const bool warm = chamber_c > *transition_c_ - chamber_below_.value;
    const bool closed =
        chamber_c > *transition_c_ - enclosed_below_c_ && settings.bed_c > *transition_c_ + bed_above_.value;
    if (!warm && !closed) return;
    around_.chamber_c = std::max(around_.chamber_c, chamber_c);
    if (settings.bed_c > around_.bed_c) around_.bed_c = settings.bed_c;
    if (around_.last_layer == move.layer && !around_.places.empty()) return;
    around_.last_layer = move.layer;
    around_.places.add(place_of(move, chamber_c));
  }

  /// What the file sets, else what the profile states; NaN where neither says.
  double chamber_of(const Settings& settings) const {
    if (settings.chamber_c > 0) return settings.chamber_c;
    const Setting<double>& stated = context_.profile.machine.chamber_c;
    return stated.known() ? *stated : std::numeric_limits<double>::quiet_NaN();
  }

  void pull(Tool& tool, const Move& move) {
    if (tool.pulled_mm <= 0) tool.pull_place = place_of(move, 0);
    tool.pulled_mm -= move.filament_mm;
  }

  void settle_pull(Tool& tool) const {
    // Filament that is taken out altogether is no retraction: common practice, changes pull 40 mm and more.
    constexpr double taken_out_mm = 40;
    if (tool.pulled_mm > longest_usual_mm_ * (1 + 1e-6) && tool.pulled_mm < taken_out_mm) {
      tool.pull_place.value = tool.pulled_mm;
      tool.waiting = tool.pull_place;
    }
    tool.pulled_mm = 0;
  }

  void feed(Tool& tool, double nozzle_c, const Move& move) const {
    if (!tool.zone_begun) {
      tool.zone_begun = true;
      tool.zone_fed_mm = 0;
      tool.zone_begin_s = move.start_s;
      tool.zone_hot = true;
      if (tool.slow_on_end == 0) tool.slow_begin = place_of(move, 0);
    }
    tool.zone_hot = tool.zone_hot && nozzle_c >= high_c_;
    tool.zone_fed_mm += move.fresh_mm;
    if (tool.zone_fed_mm < zone_mm_) return;
    const double took_s = move.start_s + move.duration_s - tool.zone_begin_s;
    tool.zone_begun = false;
    if (!tool.zone_hot || took_s < slow_.value) {
      tool.slow_on_end = 0;
      return;
    }
    ++tool.slow_on_end;
    tool.slowest_s = std::max(tool.slowest_s, took_s);
    tool.hottest_c = std::max(tool.hottest_c, nozzle_c);
    if (tool.slow_on_end < slow_zones_) return;
    tool.slow_begin.value = took_s;
    tool.slow.add(tool.slow_on_end == static_cast<int>(std::ceil(slow_zones_)) ? tool.slow_begin
                                                                               : place_of(move, took_s));
  }

  static void forget_slow(Tool& tool) {
    tool.zone_begun = false;
    tool.slow_on_end = 0;
  }

  bool stated() const {
    const FilamentProfile& filament = context_.profile.filament;
    return filament.material.stated() || filament.glass_transition_c.stated();
  }

  std::string material() const {
    const FilamentProfile& filament = context_.profile.filament;
    if (!filament.material.known()) return "the filament";
    return filament.material.stated()
               ? *filament.material
               : fmt::format("{} (a guess from the set points; state filament.material)", *filament.material);
  }

  void add_surroundings(Findings& findings) const {
    if (around_.places.empty()) return;
    const double below_c = *transition_c_ - around_.chamber_c;
    Finding finding = base("surroundings", around_.places);
    finding.severity = below_c <= chamber_close_.value && stated() ? Severity::warning : Severity::note;
    const bool warm = below_c < chamber_below_.value;
    finding.what =
        warm
            ? fmt::format("In {}, {} is printed in a chamber of {} °C; it softens at {} °C.", layers_of(around_.places),
                          material(), figure(around_.chamber_c, 1), figure(*transition_c_, 1))
            : fmt::format(
                  "In {}, {} is printed in a chamber of {} °C over a bed of {} °C; it softens at {} °C, and the "
                  "bed warms the chamber further.",
                  layers_of(around_.places), material(), figure(around_.chamber_c, 1), figure(around_.bed_c, 1),
                  figure(*transition_c_, 1));
    finding.remedy = fmt::format(
        "Open the door or switch the chamber's heater off, so that it stays below {} °C; let nothing but the maker's "
        "fan cool the hot end, and keep that one free of dust.",
        figure(*transition_c_ - chamber_below_.value, 1));
    finding.measured = warm ? Measured{.value = around_.chamber_c,
                                       .limit = *transition_c_ - chamber_below_.value,
                                       .unit = "°C",
                                       .limit_from = chamber_below_.from}
                            : Measured{.value = around_.bed_c,
                                       .limit = *transition_c_ + bed_above_.value,
                                       .unit = "°C",
                                       .limit_from = bed_above_.from};
    findings.add(std::move(finding));
  }

  Finding pulls(std::uint8_t number, const Tool& tool) const {
    Finding finding = base(fmt::format("tool {}, long retractions", number), tool.long_pulls);
    finding.severity = Severity::note;
    const Setting<double>& longest = context_.profile.machine.max_retraction_mm;
    const bool known = longest.stated() || context_.profile.machine.drive.stated();
    finding.what = fmt::format(
        "{} retractions in {} pull back more than {} mm, up to {} mm: each carries soft filament out of the melt zone "
        "into the cold side.{}",
        tool.long_pulls.count(), layers_of(tool.long_pulls), figure(longest_usual_mm_, 1), figure(tool.longest_mm, 1),
        known ? "" : " The limit rests on a guess of the drive: state machine.drive.");
    finding.remedy = fmt::format("Pull back no more than {} mm, or leave out retractions inside the part.",
                                 figure(longest_usual_mm_, 1));
    finding.measured =
        Measured{.value = tool.longest_mm, .limit = longest_usual_mm_, .unit = "mm", .limit_from = longest.from};
    return finding;
  }

  Finding slow_feed(std::uint8_t number, const Tool& tool) const {
    Finding finding = base(fmt::format("tool {}, slow feed", number), tool.slow);
    finding.severity = Severity::note;
    finding.what = fmt::format(
        "In {} the nozzle stands at {} °C, near the top of what {} is printed at, and filament needs up to {:.0f} min "
        "to move on by the {} mm of a melt zone.",
        layers_of(tool.slow), figure(tool.hottest_c, 1), material(), tool.slowest_s / 60, figure(zone_mm_, 1));
    finding.remedy =
        fmt::format("Print such a part colder, at {} °C or less, or several of them at once so that filament moves on.",
                    figure(high_c_));
    finding.measured = Measured{.value = tool.slowest_s, .limit = slow_.value, .unit = "s", .limit_from = slow_.from};
    return finding;
  }

  Finding base(std::string key, const Places& places) const {
    Finding finding;
    finding.check = context_.name;
    finding.symptoms = {Symptom::clogging};
    finding.key = std::move(key);
    finding.why =
        "Above the melt zone filament has to stay hard, so that it can push like a piston. Where it softens there it "
        "swells, sticks to the wall and wedges; the drive gear grinds, and after some hours nothing comes any more. "
        "Clearing it means work on a hot nozzle: follow the maker's manual.";
    finding.places = places;
    return finding;
  }

  CheckContext context_;
  Limit chamber_below_;
  Limit chamber_close_;
  double enclosed_below_c_;
  Limit bed_above_;
  double least_transition_c_;
  Limit long_pulls_;
  Limit slow_;
  double slow_zones_;
  double top_c_;
  std::optional<double> transition_c_;
  double longest_usual_mm_ = std::numeric_limits<double>::infinity();
  double zone_mm_ = 20;
  double high_c_ = std::numeric_limits<double>::infinity();
  Surroundings around_;
  std::map<std::uint8_t, Tool> tools_;
  bool switched_ = false;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<HeatCreep>(context); }

}  // namespace beadwise::checks::heat_creep
