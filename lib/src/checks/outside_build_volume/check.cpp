#include <fmt/format.h>

#include <array>
#include <cmath>
#include <string>

#include "beadwise/check.hpp"
#include "checks/support/move_box.hpp"
#include "checks/support/place_of.hpp"
#include "checks/support/wording.hpp"
#include "machine/in_order.hpp"

namespace beadwise::checks::outside_build_volume {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::error},
      .symptoms = {},
      .thresholds = {{.key = "tolerance_mm",
                      .built_in = 0.1,
                      .unit = "mm",
                      .meaning = "how far past an end of the build volume, or below the plate, a place may lie",
                      .source = "common practice: first layers are tuned by less than that"},
                     {.key = "reach_mm",
                      .built_in = 2000,
                      .unit = "mm",
                      .meaning = "where nobody stated the build volume, a bead farther from zero than this is outside",
                      .source = "common practice: no machine for filament is larger by far"}}};
  return description;
}

namespace {

constexpr std::array<double Point::*, 3> axes{&Point::x, &Point::y, &Point::z};
constexpr std::string_view names = "XYZ";
constexpr std::array<std::string_view, 3> keys{"build_x_mm", "build_y_mm", "build_z_mm"};

/// Everything that reaches past one end of one axis.
struct Beyond {
  double farthest_mm = 0;  ///< as the program counts
  Places places;

  void add(const Move& move, double at_mm, double by_mm) {
    if (places.empty() || by_mm > places.worst_value()) farthest_mm = at_mm;
    places.add(place_of(move, by_mm));
  }
};

/// The two ends of one axis.
struct Axis {
  Setting<Range> stated;
  std::array<Beyond, 2> beads;  ///< past the low and the high end
  std::array<Beyond, 2> travels;
  // G92 after homing moves the program's zero away from the machine's.
  bool homed = false;
  double offset_mm = 0;  ///< machine = program + offset
};

class OutsideBuildVolume final : public Check {
 public:
  explicit OutsideBuildVolume(const CheckContext& context)
      : context_(context), tolerance_(context.limit("tolerance_mm")), reach_(context.limit("reach_mm")) {
    const MachineProfile& machine = context.profile.machine;
    axes_[0].stated = machine.build_x_mm;
    axes_[1].stated = machine.build_y_mm;
    axes_[2].stated = machine.build_z_mm;
  }

  void on_moves(const MoveBatch& batch, Findings&) override {
    in_order(
        batch, [this](const Event& event) { on_event(event); },
        [this, &batch](const Move& move) { on_move(batch, move); });
  }

  void on_end(const JobSummary&, Findings& findings) override {
    for (std::size_t axis = 0; axis < axes_.size(); ++axis) {
      for (std::size_t end = 0; end < 2; ++end) {
        const Beyond& beads = axes_[axis].beads[end];
        const Beyond& travels = axes_[axis].travels[end];
        if (!beads.places.empty()) {
          findings.add(beads_outside(axis, end, beads));
        } else if (!travels.places.empty()) {
          findings.add(travels_outside(axis, end, travels));
        }
      }
    }
  }

 private:
  void on_event(const Event& event) {
    if (event.kind == EventKind::homing) {
      settle_origin(event.at_mm);
      for (std::size_t axis = 0; axis < axes_.size(); ++axis) {
        if (event.text.find(names[axis]) == std::string::npos) continue;
        axes_[axis].homed = true;
        axes_[axis].offset_mm = 0;
      }
    }
    if (event.kind == EventKind::origin_set) {
      settle_origin(event.at_mm);
      origin_set_ = true;
      before_origin_ = event.at_mm;
      origin_axes_ = event.text;
    }
  }

  /// Now the program counts `now_mm` where it counted `before_origin_`.
  void settle_origin(const Point& now_mm) {
    if (!origin_set_) return;
    origin_set_ = false;
    for (std::size_t axis = 0; axis < axes_.size(); ++axis) {
      if (!axes_[axis].homed || origin_axes_.find(names[axis]) == std::string::npos) continue;
      axes_[axis].offset_mm += before_origin_.*axes[axis] - now_mm.*axes[axis];
    }
  }

  void on_move(const MoveBatch& batch, const Move& move) {
    settle_origin(move.from_mm);
    const bool bead = move.kind == MoveKind::bead;
    if (!bead && move.kind != MoveKind::travel) return;
    Box box = box_of(move, move.arc < 0 ? nullptr : &batch.arcs[static_cast<std::size_t>(move.arc)]);
    // Where a straight travel begins is where homing or the move before it ended.
    if (!bead && move.arc < 0) box.low = box.high = move.to_mm;
    if (bead) beads_.add(box);
    for (std::size_t axis = 0; axis < axes_.size(); ++axis) {
      if (!bead && !axes_[axis].stated.known()) continue;
      const Range limits = limits_of(axis);
      const double low = box.low.*axes[axis];
      const double high = box.high.*axes[axis];
      auto& beyond = bead ? axes_[axis].beads : axes_[axis].travels;
      // Past the end however one counts: by the program's zero and by the machine's.
      const double offset = axes_[axis].offset_mm;
      if (std::max(low, low + offset) < limits.low) beyond[0].add(move, low, limits.low - low);
      if (std::min(high, high + offset) > limits.high) beyond[1].add(move, high, high - limits.high);
    }
  }

  Range limits_of(std::size_t axis) const {
    const Setting<Range>& stated = axes_[axis].stated;
    if (stated.known()) return {(*stated).low - tolerance_.value, (*stated).high + tolerance_.value};
    return {axis == 2 ? -tolerance_.value : -reach_.value, reach_.value};
  }

  Finding beads_outside(std::size_t axis, std::size_t end, const Beyond& beyond) const {
    Finding finding = about(axis, end, beyond, "beads");
    const Setting<Range>& stated = axes_[axis].stated;
    if (!stated.known() && axis == 2 && end == 0) {
      finding.what = fmt::format("{} laid below the plate, down to Z {} mm, in {}.", are(beyond, "bead"),
                                 figure(beyond.farthest_mm, 2), layers_of(beyond.places));
      finding.why =
          "The plate is in the way: the nozzle is driven into it and scratches it, or the machine skips steps.";
      finding.remedy = fmt::format(
          "Place the part on the plate: raise it by {} mm. If zero lies above your plate, state the heights that the "
          "machine reaches: --set machine.build_z_mm=[lowest, highest].",
          figure(-beyond.farthest_mm, 2));
      return finding;
    }
    finding.what = fmt::format("{} laid {}, at {} {} mm, in {}.", are(beyond, "bead"), where(axis, end), names[axis],
                               figure(beyond.farthest_mm, 2), layers_of(beyond.places));
    finding.why =
        "The machine cannot go there: it runs into the end of its travel, loses its position, or stops the job.";
    finding.remedy = stated.known() ? fitting(axis, end, beyond)
                                    : fmt::format(
                                          "No machine for filament reaches that far: look for a wrong unit or a "
                                          "broken number near line {}.",
                                          beyond.places.worst().front().line);
    return finding;
  }

  Finding travels_outside(std::size_t axis, std::size_t end, const Beyond& beyond) const {
    Finding finding = about(axis, end, beyond, "travels");
    finding.what = fmt::format("All beads fit, but {} made {}, at {} {} mm.", are(beyond, "travel"), where(axis, end),
                               names[axis], figure(beyond.farthest_mm, 2));
    finding.why =
        "The machine runs into the end of its travel there: it loses its position, cuts the move short or "
        "stops the job.";
    finding.remedy = fmt::format(
        "Keep the start and end commands and the parking place within the build volume. If the machine does reach "
        "there, state it: {}.",
        widened(axis, beyond));
    return finding;
  }

  std::string fitting(std::size_t axis, std::size_t end, const Beyond& beyond) const {
    const Range& range = *axes_[axis].stated;
    const double spans = beads_.high.*axes[axis] - beads_.low.*axes[axis];
    const double room = range.high - range.low;
    const double by = end == 0 ? range.low - beyond.farthest_mm : beyond.farthest_mm - range.high;
    const std::string otherwise = fmt::format("If the machine does reach there, state it: {}.", widened(axis, beyond));
    if (spans > room) {
      return fmt::format("The job spans {} mm in {}, and there is room for {} mm: turn it, scale it or cut it. {}",
                         figure(spans, 2), names[axis], figure(room, 2), otherwise);
    }
    return fmt::format("Move the job by at least {} mm towards {} {}: it spans {} mm, and there is room for {} mm. {}",
                       figure(by, 2), end == 0 ? "higher" : "lower", names[axis], figure(spans, 2), figure(room, 2),
                       otherwise);
  }

  std::string widened(std::size_t axis, const Beyond& beyond) const {
    const Range& range = *axes_[axis].stated;
    return fmt::format("--set machine.{}=[{}, {}]", keys[axis], figure(std::min(range.low, beyond.farthest_mm), 2),
                       figure(std::max(range.high, beyond.farthest_mm), 2));
  }

  std::string where(std::size_t axis, std::size_t end) const {
    const Setting<Range>& stated = axes_[axis].stated;
    if (!stated.known()) return fmt::format("more than {} mm from zero", figure(reach_.value));
    return fmt::format("outside the build volume, which {} at {} {} mm", end == 0 ? "begins" : "ends", names[axis],
                       figure(end == 0 ? (*stated).low : (*stated).high, 2));
  }

  static std::string are(const Beyond& beyond, std::string_view thing) {
    const std::string many = fmt::format("{}s", thing);
    return fmt::format("{} {}", counted(beyond.places.count(), thing, many), beyond.places.count() == 1 ? "is" : "are");
  }

  Finding about(std::size_t axis, std::size_t end, const Beyond& beyond, std::string_view moves) const {
    const Setting<Range>& stated = axes_[axis].stated;
    Finding finding;
    finding.check = context_.name;
    finding.severity = Severity::error;
    finding.key = fmt::format("{} {} {}", moves, end == 0 ? "below the lowest" : "beyond the highest", names[axis]);
    const Range range = stated.known() ? *stated : limits_of(axis);
    const Origin from = stated.known() ? stated.from : (axis == 2 && end == 0 ? tolerance_.from : reach_.from);
    finding.measured = Measured{
        .value = beyond.farthest_mm, .limit = end == 0 ? range.low : range.high, .unit = "mm", .limit_from = from};
    finding.places = beyond.places;
    return finding;
  }

  CheckContext context_;
  Limit tolerance_;
  Limit reach_;
  std::array<Axis, 3> axes_;
  Box beads_;
  bool origin_set_ = false;
  Point before_origin_;
  std::string origin_axes_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<OutsideBuildVolume>(context); }

}  // namespace beadwise::checks::outside_build_volume
