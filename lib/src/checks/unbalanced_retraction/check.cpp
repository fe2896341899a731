#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <string>

#include "beadwise/check.hpp"
#include "checks/support/place_of.hpp"
#include "checks/support/wording.hpp"
#include "machine/in_order.hpp"
#include "model/typical_value.hpp"

namespace beadwise::checks::unbalanced_retraction {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::note, Severity::warning},
      .symptoms = {Symptom::under_extrusion, Symptom::stringing, Symptom::blobs},
      .thresholds = {
          {.key = "drift_mm",
           .built_in = 5,
           .unit = "mm",
           .meaning = "filament missing, or too much, over the job and per tool, that is told",
           .source = "common practice: the beads of a few seconds"},
          {.key = "little_mm",
           .built_in = 0.2,
           .unit = "mm",
           .meaning = "a prime may give so much more than was pulled: a setting, against what oozed away on the way",
           .source = "common practice: 0.02 to 0.1 mm are usual"},
          {.key = "little_ratio",
           .built_in = 0.1,
           .unit = "ratio",
           .meaning = "or this share of what was pulled, where that is more",
           .source = "common practice: the play of a guide tube"},
          {.key = "shows_mm",
           .built_in = 0.5,
           .unit = "mm",
           .meaning = "a difference of so much at one place is likely to show",
           .source = "derived: 0.5 mm of 1.75 mm filament are 15 mm of a bead of 0.45 × 0.2 mm"},
          {.key = "in_place_mm",
           .built_in = 2,
           .unit = "mm",
           .meaning = "what is fed farther from the next bead is a purge, not a prime",
           .source = "common practice: purges are made beside the part"}}};
  return description;
}

namespace {

constexpr double nothing_mm = 1e-9;
// Files round E to two decimals at the coarsest.
constexpr double rounding_mm = 0.01;
// What summing a job's decimals can add.
constexpr double sum_rounding_mm = 1e-6;

/// Primes that went wrong in one direction.
struct Drift {
  double sum_mm = 0;
  TypicalValue each_mm;
  TypicalValue of_mm;  ///< what was pulled before
  Places places;

  void add(Place place, double difference_mm, double pulled_mm) {
    sum_mm += difference_mm;
    each_mm.add(difference_mm, 1);
    of_mm.add(pulled_mm, 1);
    place.value = difference_mm;
    places.add(place);
  }
};

/// What happened to one tool's filament since its last bead, and what the beads after it make of it.
struct Gap {
  double pulled_mm = 0;
  double by_machine_mm = 0;  ///< pulled back by the machine (G10) and not given back
  double extra_mm = 0;       ///< new filament fed without a motion in the plane
  Point extra_at_mm;
  bool exchanged = false;  ///< the filament may have been changed or moved by other means
  bool waited = false;     ///< the head stood: what oozed away meanwhile may be made up for
};

/// Beads that pay back what a prime left owing.
struct Repayment {
  Place place;
  double pulled_mm = 0;
  double eaten_mm = 0;  ///< fed along the beads and not laid
  double more_mm = 0;   ///< fed along the beads beyond what such beads usually take
};

struct Tool {
  bool has_beads = false;
  Gap gap;
  std::optional<Repayment> repayment;
  TypicalValue usual_per_mm;  ///< filament along a millimetre of bead
  double usual_now = 0;       ///< its median when this layer began
  std::uint32_t usual_layer = 0;
  Drift missing;
  Drift surplus;
};

class UnbalancedRetraction final : public Check {
 public:
  explicit UnbalancedRetraction(const CheckContext& context)
      : context_(context),
        drift_(context.limit("drift_mm")),
        little_mm_(context.limit("little_mm").value),
        little_ratio_(context.limit("little_ratio").value),
        in_place_mm_(context.limit("in_place_mm").value) {}

  void on_moves(const MoveBatch& batch, Findings&) override {
    in_order(
        batch, [&](const Event& event) { on_event(event); },
        [&](const Move& move) { on_move(move, batch.settings_of(move).tool); });
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    misread_ = job.e_misread != EMisread::no;
    if (job.extruder_switched || misread_) return;
    for (auto& [number, tool] : tools_) {
      settle(tool);
      if (tool.missing.sum_mm > drift_.value + sum_rounding_mm) findings.add(missing(number, tool));
      if (tool.surplus.sum_mm > drift_.value + sum_rounding_mm) findings.add(surplus(number, tool));
    }
  }

  std::optional<std::string> skipped() const override {
    if (misread_) return "E is read in the wrong mode (implausible-bead says more)";
    return std::nullopt;
  }

 private:
  void on_event(const Event& event) {
    Tool& tool = tools_[event.tool];
    switch (event.kind) {
      case EventKind::tool_change:
        tool.gap.exchanged = tools_[tool_].gap.exchanged = true;
        tool_ = event.tool;
        return;
      case EventKind::filament_change:
      case EventKind::pause:
        tool.gap.exchanged = true;
        return;
      case EventKind::dwell:
        tool.gap.waited = true;
        return;
      case EventKind::firmware_retraction:
        tool.gap.pulled_mm += event.value;
        tool.gap.by_machine_mm = event.value;
        return;
      case EventKind::firmware_prime:
        tool.gap.by_machine_mm = 0;
        return;
      default:
        tool.gap.exchanged = tool.gap.exchanged || event.may_heat;
    }
  }

  void on_move(const Move& move, std::uint8_t number) {
    Tool& tool = tools_[number];
    if (move.kind == MoveKind::bead) {
      on_bead(move, tool);
    } else if (move.filament_mm < 0) {
      settle(tool);
      tool.gap.pulled_mm -= move.filament_mm;
    } else if (move.kind == MoveKind::feed && move.fresh_mm > nothing_mm) {
      tool.gap.extra_mm += move.fresh_mm;
      tool.gap.extra_at_mm = move.to_mm;
    }
  }

  void on_bead(const Move& move, Tool& tool) {
    const double paid_mm = move.filament_mm - move.fresh_mm;
    if (tool.gap.pulled_mm > 0 && tool.has_beads && !tool.gap.exchanged) end_gap(move, tool);
    if (tool.repayment) {
      tool.repayment->eaten_mm += paid_mm;
      tool.repayment->more_mm += std::max(0.0, move.filament_mm - usual_per_mm(move, tool) * move.path_mm);
      if (move.owed_mm <= nothing_mm) settle(tool);
    } else if (paid_mm <= nothing_mm && move.path_mm > nothing_mm) {
      tool.usual_per_mm.add(move.filament_mm / move.path_mm, move.path_mm);
    }
    // What the machine pulled back stays pulled until the machine gives it back, but is told once.
    tool.gap = Gap{};
    tool.has_beads = true;
  }

  void end_gap(const Move& bead, Tool& tool) const {
    const Gap& gap = tool.gap;
    const double owed_mm = bead.owed_mm + bead.filament_mm - bead.fresh_mm;
    if (gap.by_machine_mm > rounding_mm) tool.missing.add(place_of(bead, 0), gap.by_machine_mm, gap.pulled_mm);
    if (owed_mm > rounding_mm && !tool.repayment)
      tool.repayment = Repayment{.place = place_of(bead, 0), .pulled_mm = gap.pulled_mm};
    const double little_mm = std::max(little_mm_, little_ratio_ * gap.pulled_mm);
    const double away_mm = std::hypot(gap.extra_at_mm.x - bead.from_mm.x, gap.extra_at_mm.y - bead.from_mm.y);
    if (gap.extra_mm > little_mm + nothing_mm && away_mm <= in_place_mm_ && !gap.waited)
      tool.surplus.add(place_of(bead, 0), gap.extra_mm, gap.pulled_mm);
  }

  double usual_per_mm(const Move& bead, Tool& tool) const {
    if (tool.usual_layer != bead.layer || !(tool.usual_now > 0)) {
      tool.usual_now = tool.usual_per_mm.empty() ? 0 : tool.usual_per_mm.median();
      tool.usual_layer = bead.layer;
    }
    return tool.usual_now;
  }

  /// What the beads lost to the nozzle; a prime made along a bead feeds that much more there and loses nothing.
  static void settle(Tool& tool) {
    if (!tool.repayment) return;
    const double missing_mm = tool.repayment->eaten_mm - tool.repayment->more_mm;
    if (missing_mm > rounding_mm) tool.missing.add(tool.repayment->place, missing_mm, tool.repayment->pulled_mm);
    tool.repayment.reset();
  }

  Finding missing(std::uint8_t number, const Tool& tool) const {
    const double each_mm = tool.missing.each_mm.median();
    const double per_mm = tool.usual_per_mm.empty() ? 0 : tool.usual_per_mm.median();
    Finding finding = about(number, "missing", tool.missing);
    finding.symptoms = {Symptom::under_extrusion};
    finding.what =
        fmt::format("In {}, {} less than was pulled: typically {} of {} mm do not come back, {} mm over the job.",
                    layers_of(tool.missing.places), primes(tool.missing, number, "gives back", "give back"),
                    short_length(each_mm), short_length(tool.missing.of_mm.median()), figure(tool.missing.sum_mm, 1));
    finding.why =
        "The nozzle starts the next bead empty: what is fed fills it up first, and that much of the bead is missing.";
    if (per_mm > 0)
      finding.why +=
          fmt::format(" Here that is typically a gap of {} mm, where the bead begins.", figure(each_mm / per_mm, 1));
    finding.remedy =
        "Prime as much as was pulled. Look for a negative extra length on restart, for a prime that was lost when "
        "something was pasted in or cut out, and for E that was set anew (G92) at the wrong moment.";
    return finding;
  }

  Finding surplus(std::uint8_t number, const Tool& tool) const {
    const double each_mm = tool.surplus.each_mm.median();
    Finding finding = about(number, "surplus", tool.surplus);
    finding.symptoms = {Symptom::blobs, Symptom::stringing};
    finding.what =
        fmt::format("In {}, {} more than was pulled: typically {} mm on top of {} mm, {} mm over the job.",
                    layers_of(tool.surplus.places), primes(tool.surplus, number, "feeds", "feed"),
                    short_length(each_mm), short_length(tool.surplus.of_mm.median()), figure(tool.surplus.sum_mm, 1));
    finding.why =
        "What is pushed in beyond what was pulled comes out at once, where the head stands: a blob at the start of the "
        "bead, and a nozzle under pressure that strings on its way to the next.";
    finding.remedy = fmt::format(
        "Prime as much as was pulled; against what oozes away on the way, {} mm more are enough. Look for an extra "
        "length on restart that is meant for a guide tube, and for a retraction that was lost when something was "
        "pasted "
        "in or cut out.",
        figure(std::max(little_mm_, little_ratio_ * tool.surplus.of_mm.median()), 1));
    return finding;
  }

  /// A median is known to half a per cent only.
  static std::string short_length(double length_mm) { return figure(length_mm, length_mm < 1 ? 2 : 1); }

  static std::string primes(const Drift& drift, std::uint8_t tool, std::string_view one, std::string_view many) {
    if (drift.places.count() == 1) return fmt::format("a prime of tool {} {}", tool, one);
    return fmt::format("{} primes of tool {} {}", drift.places.count(), tool, many);
  }

  Finding about(std::uint8_t number, std::string_view direction, const Drift& drift) const {
    Finding finding;
    finding.check = context_.name;
    finding.severity = drift.each_mm.median() >= context_.limit("shows_mm").value ? Severity::warning : Severity::note;
    finding.key = fmt::format("tool {}, {}", number, direction);
    finding.measured = Measured{.value = drift.sum_mm, .limit = drift_.value, .unit = "mm", .limit_from = drift_.from};
    finding.places = drift.places;
    return finding;
  }

  CheckContext context_;
  Limit drift_;
  double little_mm_;
  double little_ratio_;
  double in_place_mm_;
  bool misread_ = false;
  std::uint8_t tool_ = 0;
  std::map<std::uint8_t, Tool> tools_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<UnbalancedRetraction>(context); }

}  // namespace beadwise::checks::unbalanced_retraction
