#include "beadwise/check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>

#include "checks/support/laying.hpp"
#include "checks/support/place_of.hpp"
#include "machine/in_order.hpp"

namespace beadwise::checks::cold_extrusion {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::error},
      .symptoms = {Symptom::clogging},
      .thresholds =
          {{.key = "flow_c",
            .built_in = 150,
            .unit = "°C",
            .meaning =
                "a nozzle below it lays nothing of a material that nobody stated; a stated material brings its own",
            .source =
                "first flow of PLA at 141.8 °C, Read et al. 2024, doi 10.1007/s40192-024-00350-w, table 4; rounded up"},
           {.key = "room_c",
            .built_in = 20,
            .unit = "°C",
            .meaning = "what a nozzle that the file never heats is taken to have",
            .source = "common practice"},
           {.key = "heating_s",
            .built_in = 60,
            .unit = "s",
            .meaning =
                "a start that takes longer from the set point to the first bead has had time to heat without a wait",
            .source = "common practice: hot ends need 60 to 150 s from room temperature"},
           {.key = "cooling_s",
            .built_in = 60,
            .unit = "s",
            .meaning = "for so long after it was switched off a nozzle still melts",
            .source = "common practice: the last beads are laid with the residual heat"}},
      .judges_text = false};
  return description;
}

namespace {

constexpr double never = -std::numeric_limits<double>::infinity();

/// What the file lets know of one tool's heater.
struct Tool {
  bool unseen = false;        ///< something may have heated it since it was last set
  bool was_hot = false;       ///< set above the flow temperature at some time
  bool judged_start = false;  ///< its first bead was met
  bool waited = false;        ///< since it was first set hot
  double hot_set_s = 0;       ///< when it was first set hot
  double fell_s = never;      ///< when it was last set below the flow temperature after it was, or may have been, hot
  std::uint64_t set_line = 0;
};

enum class Cause : std::uint8_t { never_set, too_low, switched_off };

struct Cold {
  Places places;
  double lowest_c = std::numeric_limits<double>::max();
  std::uint64_t set_line = 0;
};

class ColdExtrusion : public Check {
 public:
  explicit ColdExtrusion(const CheckContext& context)
      : name_(context.name),
        filament_(context.profile.filament),
        room_c_(context.limit("room_c").value),
        heating_s_(context.limit("heating_s")),
        cooling_s_(context.limit("cooling_s").value) {
    choose_flow(context.limit("flow_c"));
  }

  void on_moves(const MoveBatch& batch, Findings& findings) override {
    in_order(
        batch, [&](const Event& event) { on_event(event); },
        [&](const Move& move) { on_move(batch.settings_of(move), move, findings); });
  }

  void on_end(const JobSummary&, Findings& findings) override {
    for (const auto& [key, cold] : cold_) findings.add(cold_finding(key.first, key.second, cold));
  }

 private:
  using Key = std::pair<Cause, std::uint8_t>;

  void choose_flow(const Limit& limit) {
    flow_c_ = limit.value;
    flow_from_ = limit.from;
    const Setting<double>& flow = filament_.flow_temperature_c;
    if (limit.from != Origin::built_in || !flow.known()) return;
    // An error rests on no guess: a guessed material only ever makes the limit lower.
    const bool stated = flow.stated() || filament_.material.stated();
    if (!stated && *flow >= flow_c_) return;
    flow_c_ = *flow;
    flow_from_ = flow.from;
    if (stated && filament_.material.known()) material_ = *filament_.material;
  }

  void on_event(const Event& event) {
    laying_.on_event(event);
    if (event.may_heat) {
      for (Tool& tool : tools_) tool.unseen = true;
      hidden_ = true;
      hidden_line_ = event.line;
    }
    if (event.kind == EventKind::nozzle_set) on_nozzle_set(event);
    if (gives_time_to_heat(event))
      for (Tool& tool : tools_) tool.waited = true;
  }

  bool gives_time_to_heat(const Event& event) const {
    switch (event.kind) {
      case EventKind::nozzle_set:
      case EventKind::bed_set:
      case EventKind::chamber_set:
        return event.waits;
      case EventKind::wait_for_heat:
      case EventKind::pause:
      case EventKind::filament_change:
      case EventKind::probing:      // takes minutes that are not in the job's time
      case EventKind::extruder_on:  // many machines that have M101 wait for the heat with it
        return true;
      case EventKind::tool_change:  // many machines wait for a tool that is taken up in the middle of a print
        return any_bead_;
      default:
        return false;
    }
  }

  void on_nozzle_set(const Event& event) {
    Tool& tool = tools_[event.tool];
    const bool hot = event.value >= flow_c_;
    if (hot && !tool.was_hot) {
      tool.hot_set_s = clock_s_;
      tool.waited = false;
      tool.was_hot = true;
    }
    const bool falls = !hot && (tool.unseen || set_c_[event.tool] >= flow_c_);
    if (falls) tool.fell_s = clock_s_;
    // A temperature among a macro's arguments is one that it uses some time, not what it leaves behind.
    tool.unseen = tool.unseen && event.line == hidden_line_;
    tool.set_line = event.line;
    set_c_[event.tool] = event.value;
  }

  void on_move(const Settings& settings, const Move& move, Findings& findings) {
    const bool lays = laying_.lays(move);
    // Before the first bead start scripts push filament cold on purpose; machines that cannot bear it refuse it.
    if (lays || (move.kind == MoveKind::feed && any_bead_)) judge(settings, move, lays, findings);
    any_bead_ = any_bead_ || lays;
    clock_s_ = move.start_s + move.duration_s;
  }

  void judge(const Settings& settings, const Move& move, bool lays, Findings& findings) {
    Tool& tool = tools_[settings.tool];
    const double set_c = settings.tool_c();
    if (set_c >= flow_c_) {
      if (lays && !tool.judged_start) judge_start(settings.tool, set_c, move, findings);
      tool.judged_start = tool.judged_start || lays;
      return;
    }
    tool.judged_start = tool.judged_start || lays;
    if (tool.unseen || room_c_ >= flow_c_) return;
    if (std::isnan(set_c)) {
      // Several filaments may share one nozzle: what another tool set heats it.
      const bool other_set = std::any_of(set_c_.begin(), set_c_.end(), [](double c) { return !std::isnan(c); });
      if (!other_set) add(Cause::never_set, settings.tool, room_c_, move);
      return;
    }
    if (move.start_s - tool.fell_s <= cooling_s_) return;
    add(tool.fell_s == never ? Cause::too_low : Cause::switched_off, settings.tool, set_c, move);
  }

  void add(Cause cause, std::uint8_t tool, double celsius, const Move& move) {
    Cold& cold = cold_[Key{cause, tool}];
    if (cold.places.empty()) cold.set_line = tools_[tool].set_line;
    cold.places.add(place_of(move, flow_c_ - celsius));
    cold.lowest_c = std::min(cold.lowest_c, celsius);
    several_tools_ = several_tools_ || tool != 0;
  }

  void judge_start(std::uint8_t number, double set_c, const Move& move, Findings& findings) {
    const Tool& tool = tools_[number];
    const double passed_s = move.start_s - tool.hot_set_s;
    if (!tool.was_hot || tool.waited || hidden_ || passed_s >= heating_s_.value) return;
    Finding finding = base();
    finding.what = fmt::format(
        "The first bead, at line {}, comes {:.0f} s after the nozzle is set to {:g} °C at line {}, and nothing waits "
        "for "
        "it to get there.",
        move.line, passed_s, set_c, tool.set_line);
    finding.remedy = fmt::format(
        "Put `M109 S{:g}` before line {}: it waits until the nozzle is there. If you heat by hand before each job, "
        "accept "
        "this finding in the profile and say so.",
        set_c, move.line);
    finding.key = fmt::format("start without a wait, tool {}", number);
    finding.measured =
        Measured{.value = passed_s, .limit = heating_s_.value, .unit = "s", .limit_from = heating_s_.from};
    finding.places.add(place_of(move, heating_s_.value - passed_s));
    findings.add(std::move(finding));
  }

  Finding base() const {
    Finding finding;
    finding.check = name_;
    finding.severity = Severity::error;
    finding.symptoms = {Symptom::clogging};
    finding.why =
        "Filament that does not melt cannot leave the nozzle: the drive gear grinds a flat into it or skips, a guide "
        "tube "
        "may be pushed out, and the nozzle is clogged when it is hot at last. Most machines refuse to feed while they "
        "are "
        "cold; the head then draws the whole part in the air.";
    return finding;
  }

  Finding cold_finding(Cause cause, std::uint8_t tool, const Cold& cold) const {
    Finding finding = base();
    finding.what = what(cause, tool, cold) + flow_sentence();
    finding.remedy = remedy(cause, tool, cold);
    finding.key = fmt::format("{}, tool {}",
                              cause == Cause::never_set ? "never heated"
                              : cause == Cause::too_low ? "set too low"
                                                        : "switched off",
                              tool);
    finding.measured = Measured{.value = cold.lowest_c, .limit = flow_c_, .unit = "°C", .limit_from = flow_from_};
    finding.places = cold.places;
    return finding;
  }

  std::string what(Cause cause, std::uint8_t tool, const Cold& cold) const {
    const std::string nozzle = several_tools_ ? fmt::format("nozzle {}", tool) : std::string("the nozzle");
    const std::string laid =
        cold.places.count() == 1
            ? fmt::format("One bead, at line {}, is laid", cold.places.first_line())
            : fmt::format("{} beads, from line {} on, are laid", cold.places.count(), cold.places.first_line());
    if (cause == Cause::never_set) return fmt::format("{} though the file never heats {}.", laid, nozzle);
    if (cause == Cause::too_low)
      return fmt::format("{} with {} at {:g} °C, set at line {}.", laid, nozzle, cold.lowest_c, cold.set_line);
    return fmt::format("{} more than {:g} s after {} was set down to {:g} °C at line {}.", laid, cooling_s_, nozzle,
                       cold.lowest_c, cold.set_line);
  }

  std::string flow_sentence() const {
    if (material_.empty()) return fmt::format(" No common filament can be printed below {:g} °C.", flow_c_);
    return fmt::format(" The material stated, {}, does not flow below {:g} °C.", material_, flow_c_);
  }

  std::string remedy(Cause cause, std::uint8_t tool, const Cold& cold) const {
    if (cause == Cause::switched_off)
      return fmt::format("Take the command at line {} out, or move it behind the last bead.", cold.set_line);
    const std::string of_tool = several_tools_ ? fmt::format("T{} ", tool) : std::string();
    std::string range = "what the filament's maker gives";
    if (!material_.empty() && filament_.nozzle_c.known())
      range = fmt::format("{:g} to {:g} °C for {}", filament_.nozzle_c.value->low, filament_.nozzle_c.value->high,
                          material_);
    return fmt::format(
        "Put `M109 {}S…` before line {}, with {}. Stay with the machine while it heats: nozzle and bed burn on "
        "contact. A "
        "paste that is printed cold needs `filament.flow_temperature_c = {:g}` in the profile.",
        of_tool, cold.places.first_line(), range, room_c_);
  }

  std::string name_;
  FilamentProfile filament_;
  double room_c_;
  Limit heating_s_;
  double cooling_s_;
  double flow_c_ = 0;
  Origin flow_from_ = Origin::built_in;
  std::string material_;
  Laying laying_;
  std::array<Tool, 64> tools_{};
  std::array<double, 64> set_c_ = [] {
    std::array<double, 64> unset{};
    unset.fill(std::numeric_limits<double>::quiet_NaN());
    return unset;
  }();
  std::map<Key, Cold> cold_;
  double clock_s_ = 0;
  std::uint64_t hidden_line_ = 0;
  bool hidden_ = false;
  bool any_bead_ = false;
  bool several_tools_ = false;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<ColdExtrusion>(context); }

}  // namespace beadwise::checks::cold_extrusion
