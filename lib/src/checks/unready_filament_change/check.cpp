#include <fmt/format.h>

#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/place_of.hpp"
#include "checks/support/wording.hpp"
#include "machine/in_order.hpp"

namespace beadwise::checks::unready_filament_change {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::warning},
      .symptoms = {Symptom::stringing, Symptom::scarring},
      .thresholds = {
          {.key = "same_place_mm",
           .built_in = 0.05,
           .unit = "mm",
           .meaning = "a bead that begins this near to where the last one ended goes on with it",
           .source = "common practice: an eighth of a bead's width; files give places to 0.001 mm"},
          {.key = "least_lift_mm",
           .built_in = 0.1,
           .unit = "mm",
           .meaning = "a nozzle less far above the last bead touches it",
           .source = "common practice: lifts are 0.2 mm and more"},
          {.key = "least_away_mm",
           .built_in = 5,
           .unit = "mm",
           .meaning = "a nozzle farther than this from where the last bead ended has been moved away",
           .source = "common practice: a wipe stays within a few beads' widths"},
          {.key = "least_pull_mm",
           .built_in = 0.2,
           .unit = "mm",
           .meaning = "a shorter pull takes no pressure off the nozzle",
           .source = "common practice"},
          {.key = "tower_changes",
           .built_in = 3,
           .unit = "changes",
           .meaning = "so many changes of tool, all of them alike, are the machine's way to change",
           .source =
               "common practice: machines that change filament by themselves purge in one place, in every layer"}}};
  return description;
}

namespace {

/// One stop for a change, and what the file does around it.
struct Change {
  Event event;
  bool pulled = false;
  bool lifted = false;
  bool away = false;
};

/// What is wrong with one stop.
struct Fault {
  bool in_line = false;  ///< the next bead goes on where the last one ended
  bool no_pull = false;
  bool no_lift = false;
};

/// Stops of one kind with the same faults.
struct Faults {
  Places places;
  bool in_line = false;
  bool no_pull = false;
  bool no_lift = false;

  void add(const Place& place, const Fault& fault) {
    places.add(place);
    in_line = in_line || fault.in_line;
    no_pull = no_pull || fault.no_pull;
    no_lift = no_lift || fault.no_lift;
  }
};

bool is_seen(BeadRole role) {
  switch (role) {
    case BeadRole::unknown:
    case BeadRole::outer_perimeter:
    case BeadRole::perimeter:
    case BeadRole::top:
    case BeadRole::bridge:
      return true;
    default:
      return false;
  }
}

class UnreadyFilamentChange final : public Check {
 public:
  explicit UnreadyFilamentChange(const CheckContext& context)
      : context_(context),
        same_place_mm_(context.limit("same_place_mm").value),
        least_lift_mm_(context.limit("least_lift_mm").value),
        least_away_mm_(context.limit("least_away_mm").value),
        least_pull_mm_(context.limit("least_pull_mm").value) {}

  void on_moves(const MoveBatch& batch, Findings&) override {
    in_order(
        batch, [&](const Event& event) { on_event(event); }, [&](const Move& move) { on_move(move); });
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    if (job.extruder_switched) return;
    if (!changes_.places.empty())
      findings.add(
          finding(changes_, "change of filament", "a change of filament (M600)", "changes of filament (M600)"));
    if (!stops_.places.empty())
      findings.add(finding(stops_, "stop", "a stop (M0, M1, M25, M226)", "stops (M0, M1, M25, M226)"));
    if (!tools_.places.empty() && !machine_changes_tools())
      findings.add(finding(tools_, "change of tool", "a change of tool", "changes of tool"));
  }

 private:
  // A machine that changes filament by itself at a purge tower needs no pull before T; then every change looks alike.
  bool machine_changes_tools() const {
    return static_cast<double>(tool_changes_) >= context_.limit("tower_changes").value &&
           tools_.places.count() == tool_changes_;
  }

  void on_event(const Event& event) {
    switch (event.kind) {
      case EventKind::filament_change:
      case EventKind::pause:
      case EventKind::tool_change:
        note(event);
        return;
      case EventKind::firmware_retraction:
        pulled_by_machine_ = true;
        return;
      case EventKind::firmware_prime:
        pulled_by_machine_ = false;
        return;
      default:
        hidden_ = hidden_ || event.may_heat;
    }
  }

  void note(const Event& event) {
    if (!last_bead_ || change_) return;
    const Point& end = last_bead_->to_mm;
    Change change;
    change.event = event;
    change.pulled = owed_mm_ >= least_pull_mm_ || pulled_by_machine_;
    constexpr double nothing_mm = 1e-9;  // sums of decimal heights are as exact as doubles are
    change.lifted = event.at_mm.z >= end.z + least_lift_mm_ - nothing_mm;
    change.away = std::hypot(event.at_mm.x - end.x, event.at_mm.y - end.y) > least_away_mm_;
    change_ = change;
  }

  void on_move(const Move& move) {
    if (move.kind == MoveKind::bead) {
      if (change_ && !hidden_) judge(move);
      change_.reset();
      hidden_ = false;
      last_bead_ = move;
    }
    owed_mm_ = move.owed_mm;
  }

  void judge(const Move& next) {
    const Event& event = change_->event;
    const bool tool_change = event.kind == EventKind::tool_change;
    tool_changes_ += tool_change ? 1 : 0;
    Fault fault;
    fault.in_line = goes_on(next);
    fault.no_pull = !change_->pulled;
    fault.no_lift = !change_->lifted && !change_->away;
    const Place place = place_of(event, 1);
    if (tool_change) {
      // Ways to change a tool are many; only one that leaves a bead in the middle, under pressure, is plainly unready.
      fault.no_lift = false;
      if (fault.in_line && fault.no_pull) tools_.add(place, fault);
    } else if (event.kind == EventKind::filament_change) {
      // Common practice: at M600 the machine itself pulls back, lifts and parks.
      fault.no_pull = fault.no_lift = false;
      if (fault.in_line) changes_.add(place, fault);
    } else if (fault.in_line || fault.no_pull || fault.no_lift) {
      stops_.add(place, fault);
    }
  }

  bool goes_on(const Move& next) const {
    const Move& last = *last_bead_;
    if (!is_seen(last.role) || !is_seen(next.role)) return false;
    const double gap_mm = std::hypot(next.from_mm.x - last.to_mm.x, next.from_mm.y - last.to_mm.y);
    return gap_mm <= same_place_mm_ && std::abs(next.from_mm.z - last.to_mm.z) <= same_place_mm_ &&
           (next.layer == last.layer || next.spiral);
  }

  Finding finding(const Faults& faults, std::string_view key, std::string_view one, std::string_view many) const {
    Finding finding;
    finding.check = context_.name;
    finding.severity = Severity::warning;
    finding.key = key;
    finding.places = faults.places;
    const bool single = faults.places.count() == 1;
    finding.what = fmt::format("In {}, {} come{} {}.", layers_of(faults.places),
                               single ? std::string(one) : fmt::format("{} {}", faults.places.count(), many),
                               single ? "s" : "", how(faults));
    finding.why = why(faults);
    finding.remedy = remedy(faults);
    if (faults.no_pull) finding.symptoms.push_back(Symptom::stringing);
    if (faults.in_line || faults.no_lift) finding.symptoms.push_back(Symptom::scarring);
    return finding;
  }

  static std::string joined(const std::vector<std::string>& parts, std::string_view last) {
    std::string text;
    for (std::size_t i = 0; i < parts.size(); ++i)
      text += fmt::format("{}{}", i == 0 ? "" : i + 1 == parts.size() ? last : ", ", parts[i]);
    return text;
  }

  static std::string how(const Faults& faults) {
    std::vector<std::string> parts;
    if (faults.in_line) parts.emplace_back("in the middle of a bead, which goes on from the same place afterwards");
    if (faults.no_pull) parts.emplace_back("with the nozzle under pressure (nothing is pulled back)");
    if (faults.no_lift) parts.emplace_back("with the nozzle on the part (neither lifted nor moved away)");
    return joined(parts, " and ");
  }

  static std::string why(const Faults& faults) {
    std::string text;
    if (faults.in_line)
      text +=
          "The bead cools before it is gone on with, and the two ends do not flow together: a seam, a blob or a "
          "hole where everybody looks. ";
    if (faults.no_pull) text += "A nozzle under pressure oozes while it waits and draws a string when it leaves. ";
    if (faults.no_lift) text += "A hot nozzle that rests on the part melts a spot into it. ";
    text.pop_back();
    return text;
  }

  static std::string remedy(const Faults& faults) {
    std::vector<std::string> parts;
    if (faults.in_line) parts.emplace_back("put it between two layers, or before a travel inside the part");
    if (faults.no_pull) parts.emplace_back("pull back before it, as for any travel, and prime afterwards");
    if (faults.no_lift)
      parts.emplace_back("lift the nozzle and move it beside the part before it, and come back afterwards");
    std::string text = joined(parts, "; ");
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
    text += '.';
    if (faults.no_pull || faults.no_lift)
      text += " If the machine does so by itself, accept this finding in the profile.";
    return text + " Filament is changed at a hot nozzle: keep to the maker's manual.";
  }

  CheckContext context_;
  double same_place_mm_;
  double least_lift_mm_;
  double least_away_mm_;
  double least_pull_mm_;
  std::optional<Move> last_bead_;
  double owed_mm_ = 0;  ///< of the tool in use
  bool pulled_by_machine_ = false;
  bool hidden_ = false;           ///< a macro since the last bead may have done what is missing
  std::optional<Change> change_;  ///< the first since the last bead
  std::uint64_t tool_changes_ = 0;
  Faults changes_;
  Faults stops_;
  Faults tools_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<UnreadyFilamentChange>(context); }

}  // namespace beadwise::checks::unready_filament_change
