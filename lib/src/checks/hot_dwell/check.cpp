#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>
#include <string>

#include "beadwise/bead.hpp"
#include "beadwise/check.hpp"
#include "checks/support/place_of.hpp"
#include "checks/support/wording.hpp"
#include "machine/in_order.hpp"

namespace beadwise::checks::hot_dwell {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::note, Severity::warning},
      .symptoms = {Symptom::clogging, Symptom::stringing},
      .thresholds = {
          {.key = "over_part_note_s",
           .built_in = 5,
           .unit = "s",
           .meaning = "a hot nozzle over the part that feeds nothing for longer is worth knowing",
           .source = "common practice: bare retractions and travels are over in a second or two"},
          {.key = "over_part_warning_s",
           .built_in = 15,
           .unit = "s",
           .meaning = "longer is likely to leave a blob or a molten spot",
           .source = "common practice: filament is heated through in 4 s and oozes from then on (R²/2α, 1.75 mm, "
                     "0.09 mm²/s)"},
          {.key = "parked_note_s",
           .built_in = 60,
           .unit = "s",
           .meaning = "a hot nozzle anywhere that feeds nothing for longer is worth knowing",
           .source = "common practice: what oozes away in a minute is missing afterwards"},
          {.key = "parked_warning_s",
           .built_in = 300,
           .unit = "s",
           .meaning = "longer is likely to char or to soften what is above the hot zone",
           .source = "common practice: many machines cool a nozzle down by themselves after 5 to 30 minutes"},
          {.key = "standby_c",
           .built_in = 20,
           .unit = "°C",
           .meaning = "a nozzle set lower by so much before it stands is on standby",
           .source = "common practice: 20 to 50 °C; the melt is twice as thick for 20 °C less"},
          {.key = "lift_mm",
           .built_in = 2,
           .unit = "mm",
           .meaning = "a nozzle higher than this over the last bead is not over the part",
           .source = "common practice: lifts between beads are 0.2 to 1 mm"},
          {.key = "purge_mm",
           .built_in = 1,
           .unit = "mm",
           .meaning = "so much new filament fed in place counts as feeding",
           .source = "common practice"}}};
  return description;
}

namespace {

/// From the last filament fed to the next.
struct Gap {
  double over_part_s = 0;
  double elsewhere_s = 0;
  double purged_mm = 0;
  bool excused = false;          ///< heating, a macro, a change of filament: what the nozzle does is not in the file
  std::optional<Place> longest;  ///< where it stood or began to travel for the longest time
  std::optional<Place> pause;    ///< a stop of unknown length in it, the first
  bool pause_over_part = false;
};

class HotDwell final : public Check {
 public:
  explicit HotDwell(const CheckContext& context)
      : context_(context),
        over_part_{context.limit("over_part_note_s"), context.limit("over_part_warning_s")},
        parked_{context.limit("parked_note_s"), context.limit("parked_warning_s")},
        standby_c_(context.limit("standby_c").value),
        lift_mm_(context.limit("lift_mm").value),
        purge_mm_(context.limit("purge_mm").value) {
    set_c_.fill(0);
  }

  void on_moves(const MoveBatch& batch, Findings&) override {
    in_order(
        batch, [&](const Event& event) { on_event(event); },
        [&](const Move& move) { on_move(move, batch.settings_of(move)); });
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    if (job.extruder_switched) return;
    if (!stood_over_part_.empty()) findings.add(over_part());
    if (!stood_parked_.empty()) findings.add(parked());
    if (!paused_.empty()) findings.add(paused());
  }

 private:
  void on_event(const Event& event) {
    switch (event.kind) {
      case EventKind::nozzle_set:
        set_c_[event.tool] = event.value;
        if (event.waits) gap_.excused = true;
        return;
      case EventKind::bed_set:
      case EventKind::chamber_set:
        if (event.waits) gap_.excused = true;
        return;
      case EventKind::wait_for_heat:
      case EventKind::filament_change:
        gap_.excused = true;
        return;
      case EventKind::tool_change:
        // The nozzle that goes on is another one; since when it is hot is not known.
        gap_ = Gap{};
        gap_.excused = true;
        tool_ = event.tool;
        return;
      case EventKind::dwell:
        stand(event.value, event.at_mm, place_of(event, event.value));
        return;
      case EventKind::pause:
        pause(event);
        return;
      default:
        gap_.excused = gap_.excused || event.may_heat;
    }
  }

  void on_move(const Move& move, const Settings& settings) {
    if (move.kind == MoveKind::bead) {
      judge_gap();
      hot_c_ = settings.tool_c();
      tool_ = settings.tool;
      has_beads_ = true;
      add_to_part(move);
      return;
    }
    if (move.kind == MoveKind::feed && move.fresh_mm > 0) {
      gap_.purged_mm += move.fresh_mm;
      if (gap_.purged_mm >= purge_mm_) judge_gap();
      return;
    }
    stand(move.duration_s, move.to_mm, place_of(move, move.duration_s));
  }

  void add_to_part(const Move& bead) {
    if (bead.layer != layer_) {
      below_ = part_;
      part_ = Box{};
      layer_ = bead.layer;
    }
    part_.add(bead.from_mm);
    part_.add(bead.to_mm);
    last_z_mm_ = bead.to_mm.z;
  }

  /// The last two layers: a prime line at the edge of the plate is no part to spoil.
  bool is_over_part(const Point& at) const {
    if (at.z > last_z_mm_ + lift_mm_) return false;
    const auto within = [&](const Box& box) {
      return !box.empty() && at.x >= box.low.x && at.x <= box.high.x && at.y >= box.low.y && at.y <= box.high.y;
    };
    return within(part_) || within(below_);
  }

  bool is_on_standby() const { return set_c_[tool_] <= hot_c_ - standby_c_; }

  void stand(double time_s, const Point& at, const Place& place) {
    if (!has_beads_ || !(time_s > 0) || is_on_standby()) return;
    (is_over_part(at) ? gap_.over_part_s : gap_.elsewhere_s) += time_s;
    if (!gap_.longest || place.value > gap_.longest->value) gap_.longest = place;
  }

  void pause(const Event& event) {
    if (!has_beads_ || gap_.pause || gap_.excused || is_on_standby()) return;
    gap_.pause = place_of(event, 1);
    gap_.pause_over_part = is_over_part(event.at_mm);
  }

  void judge_gap() {
    Gap gap;
    std::swap(gap, gap_);
    if (!has_beads_ || gap.excused) return;
    if (gap.pause) {
      paused_.add(*gap.pause);
      paused_over_part_ += gap.pause_over_part ? 1 : 0;
    }
    if (!gap.longest) return;
    Place place = *gap.longest;
    const double idle_s = gap.over_part_s + gap.elsewhere_s;
    if (gap.over_part_s > over_part_[0].value) {
      place.value = gap.over_part_s;
      stood_over_part_.add(place);
    } else if (idle_s > parked_[0].value) {
      place.value = idle_s;
      stood_parked_.add(place);
    }
  }

  Finding over_part() const {
    Finding finding = about(stood_over_part_, "over the part", over_part_);
    finding.what = fmt::format(
        "In {}, the hot nozzle{} stands or travels over the part without feeding{}, for up to {} s.",
        layers_of(stood_over_part_), at_c(), times(stood_over_part_), figure(stood_over_part_.worst_value(), 1));
    finding.why =
        "Melt oozes out where the head stands and its heat softens what lies below: a blob, a molten spot, a string to "
        "the next bead, which then begins with an empty nozzle.";
    finding.remedy = fmt::format(
        "Pull back, lift the nozzle by more than {} mm and move it off the part before it waits; or let the layer cool "
        "by "
        "printing more slowly rather than by standing still.",
        figure(lift_mm_, 1));
    return finding;
  }

  Finding parked() const {
    Finding finding = about(stood_parked_, "parked", parked_);
    finding.what =
        fmt::format("In {}, the hot nozzle{} feeds nothing{}, for up to {} s on end.", layers_of(stood_parked_), at_c(),
                    times(stood_parked_), figure(stood_parked_.worst_value()));
    finding.why =
        "Filament that stays in the heat breaks down and chars, heat climbs into the part of the hot end that should "
        "stay cold and softens the filament there, and what oozes out meanwhile is missing from the next bead.";
    finding.remedy = fmt::format(
        "Set the nozzle {} °C lower or more before the wait and wait for the heat after it (M104, then M109), and "
        "purge "
        "{} mm or more beside the part before the next bead. Do not leave a hot machine alone.",
        figure(standby_c_), figure(purge_mm_, 1));
    return finding;
  }

  Finding paused() const {
    Finding finding = about(paused_, "pause", parked_);
    finding.measured = std::nullopt;
    finding.severity = Severity::note;
    finding.what = fmt::format("In {}, the job stops{} until somebody goes on, with the nozzle hot{}{}.",
                               layers_of(paused_), times(paused_), at_c(),
                               paused_over_part_ > 0 ? " and, as far as the file says, over the part" : "");
    finding.why =
        "How long that is, nobody knows. A hot nozzle that waits oozes, chars what stands in it and softens what lies "
        "below it. Some machines park the head and cool the nozzle by themselves; the file does not say so.";
    finding.remedy = fmt::format(
        "Be there when it stops. Before the stop, pull back, lift and move off the part, and set the nozzle {} °C "
        "lower; "
        "after it, wait for the heat (M109) and purge beside the part. Mind the hot nozzle when you reach in.",
        figure(standby_c_));
    return finding;
  }

  std::string at_c() const { return hot_c_ > 0 ? fmt::format(" ({} °C)", figure(hot_c_)) : std::string(); }

  static std::string times(const Places& places) {
    return places.count() == 1 ? std::string() : fmt::format(" {} times", places.count());
  }

  Finding about(const Places& places, std::string_view key, const std::array<Limit, 2>& limits) const {
    const bool bad = places.worst_value() > limits[1].value;
    const Limit& limit = limits[bad ? 1 : 0];
    Finding finding;
    finding.check = context_.name;
    finding.severity = bad ? Severity::warning : Severity::note;
    finding.symptoms = {Symptom::clogging, Symptom::stringing};
    finding.key = key;
    finding.measured =
        Measured{.value = places.worst_value(), .limit = limit.value, .unit = "s", .limit_from = limit.from};
    finding.places = places;
    return finding;
  }

  CheckContext context_;
  std::array<Limit, 2> over_part_;  ///< of a note, of a warning
  std::array<Limit, 2> parked_;
  double standby_c_;
  double lift_mm_;
  double purge_mm_;
  std::array<double, 64> set_c_{};  ///< of each tool as last set; 0 where it never was
  double hot_c_ = 0;                ///< set point at the last bead; NaN where the file sets none
  std::uint8_t tool_ = 0;
  bool has_beads_ = false;
  Box part_;   ///< of this layer's beads so far
  Box below_;  ///< of the layer before it
  std::uint32_t layer_ = 0;
  double last_z_mm_ = 0;
  Gap gap_;
  Places stood_over_part_;
  Places stood_parked_;
  Places paused_;
  std::uint64_t paused_over_part_ = 0;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<HotDwell>(context); }

}  // namespace beadwise::checks::hot_dwell
