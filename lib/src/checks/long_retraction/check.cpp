#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/place_of.hpp"
#include "checks/support/wording.hpp"
#include "machine/in_order.hpp"
#include "model/typical_value.hpp"
#include "profile/builtin.hpp"

namespace beadwise::checks::long_retraction {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::warning},
      .symptoms = {Symptom::clogging, Symptom::stringing},
      .thresholds = {
          {.key = "far_beyond_ratio",
           .built_in = 1.5,
           .unit = "ratio",
           .meaning = "where nobody stated the drive: so many times the longest retraction of a guide tube, "
                      "or the highest speed, is beyond any drive",
           .source = "common practice: 3 to 7 mm are usual through a guide tube, 20 to 60 mm/s in any drive"},
          {.key = "usual_ratio",
           .built_in = 3,
           .unit = "ratio",
           .meaning = "where nobody stated the drive: so many times the file's own usual retraction is out "
                      "of place",
           .source = "common practice: what differs within a job differs by half or double"},
          {.key = "least_retractions",
           .built_in = 10,
           .unit = "retractions",
           .meaning = "fewer than these show no usual length",
           .source = "common practice"},
          {.key = "least_mm",
           .built_in = 0.3,
           .unit = "mm",
           .meaning = "a shorter pull is over before the gear is fast",
           .source = "derived: v²/2a, 0.32 mm to 80 mm/s at 10 000 mm/s²"}}};
  return description;
}

namespace {

constexpr double nothing_mm = 1e-9;
// Cooling and shaping the tip of a filament takes a dozen strokes; more in one gap tell nothing new.
constexpr std::size_t most_pulls_in_gap = 64;
// Lengths are told apart in tenths of a millimetre up to here.
constexpr double longest_told_apart_mm = 200;

/// One run of backward filament.
struct Pull {
  Place place;                  ///< where it began; the value is its length, mm
  double time_s = 0;            ///< at its commanded speeds; 0 where the machine chooses
  double fastest_mm_per_s = 0;  ///< of the pieces that are long enough

  double speed_mm_per_s(double least_mm) const {
    const double mean = time_s > 0 && place.value >= least_mm ? place.value / time_s : 0;
    return std::max(mean, fastest_mm_per_s);
  }
};

class LongRetraction final : public Check {
 public:
  explicit LongRetraction(const CheckContext& context) : context_(context), least_mm_(context.limit("least_mm").value) {
    const MachineProfile& machine = context.profile.machine;
    const double far = context.limit("far_beyond_ratio").value;
    const bool drive_stated = machine.drive.stated();
    if (machine.max_retraction_mm.known() && (drive_stated || machine.max_retraction_mm.stated()))
      length_ = Limit{*machine.max_retraction_mm, machine.max_retraction_mm.from};
    const Setting<double>& speed = machine.max_retraction_speed_mm_per_s;
    const bool guessed = !drive_stated && !speed.stated();
    if (speed.known()) speed_ = Limit{*speed * (guessed ? far : 1), speed.from};
    speed_guessed_ = guessed;
    shortest_limit_mm_ = builtin::max_retraction_mm(Drive::direct).value.value_or(0);
    far_beyond_mm_ = far * builtin::max_retraction_mm(Drive::bowden).value.value_or(0);
  }

  void on_moves(const MoveBatch& batch, Findings&) override {
    in_order(
        batch, [&](const Event& event) { on_event(event); },
        [&](const Move& move) { on_move(move, batch.settings_of(move).tool); });
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    misread_ = job.e_misread != EMisread::no;
    if (job.extruder_switched || misread_) return;
    const Limit limit = length_.value_or(Limit{guessed_limit_mm(), Origin::built_in});
    Places far = far_;
    for (const auto& [tenths, places] : by_tenths_)
      if (tenths > std::lround(std::floor(limit.value * 10 + nothing_mm))) far.add(places);
    if (!far.empty()) findings.add(too_far(far, limit));
    if (!fast_.empty()) findings.add(too_fast());
  }

  std::optional<std::string> skipped() const override {
    if (misread_) return "E is read in the wrong mode (implausible-bead says more)";
    return std::nullopt;
  }

 private:
  void on_event(const Event& event) {
    switch (event.kind) {
      case EventKind::tool_change:
      case EventKind::filament_change:
      case EventKind::pause:
        exchanged_ = true;
        return;
      case EventKind::speed_limit_set:
        if (event.value > 0) file_limit_mm_per_s_ = event.value;
        return;
      case EventKind::firmware_retraction:
        if (event.value > 0) take({.place = place_of(event, event.value)});
        return;
      default:
        exchanged_ = exchanged_ || event.may_heat;
    }
  }

  void on_move(const Move& move, std::uint8_t tool) {
    if (move.filament_mm < -nothing_mm) {
      pull(move, tool);
      return;
    }
    if (move.filament_mm <= nothing_mm) return;
    close(tool);
    // Strokes that shape the tip before an unload push back what was pulled; only new filament ends the gap.
    if (move.kind == MoveKind::bead && move.fresh_mm > nothing_mm) judge_gap();
  }

  void pull(const Move& move, std::uint8_t tool) {
    std::optional<Pull>& open = open_[tool];
    if (!open) open = Pull{.place = place_of(move, 0)};
    open->place.value -= move.filament_mm;
    const double speed_mm_per_s = filament_speed_mm_per_s(move);
    if (!(speed_mm_per_s > 0)) return;
    open->time_s -= move.filament_mm / speed_mm_per_s;
    if (-move.filament_mm >= least_mm_) open->fastest_mm_per_s = std::max(open->fastest_mm_per_s, speed_mm_per_s);
  }

  double filament_speed_mm_per_s(const Move& move) const {
    const bool alone = move.path_mm <= nothing_mm;
    const double length_mm = alone ? -move.filament_mm : move.path_mm;
    const double share = -move.filament_mm / length_mm;
    double speed = move.feedrate_mm_per_s;
    // A level top of the planned speed is a limit that the file set (M203) or the profile states; a peak is only the
    // acceleration, which nobody stated.
    const SpeedProfile& planned = move.speed;
    const double reached = std::sqrt(planned.acceleration_mm_per_s2 * length_mm +
                                     (std::pow(planned.entry_mm_per_s, 2) + std::pow(planned.exit_mm_per_s, 2)) / 2);
    constexpr double level = 0.999;
    if (planned.peak_mm_per_s > 0 && planned.peak_mm_per_s < level * reached)
      speed = std::min(speed, planned.peak_mm_per_s);
    return std::min(speed * share, file_limit_mm_per_s_);
  }

  void close(std::uint8_t tool) {
    const auto open = open_.find(tool);
    if (open == open_.end() || !open->second) return;
    take(*open->second);
    open->second.reset();
  }

  void take(const Pull& pull) {
    if (gap_.size() < most_pulls_in_gap) gap_.push_back(pull);
  }

  /// What was pulled since the last new bead is known by what came of it: another filament, or this bead.
  void judge_gap() {
    if (has_beads_ && !exchanged_)
      for (const Pull& pull : gap_) judge(pull);
    gap_.clear();
    exchanged_ = false;
    has_beads_ = true;
  }

  void judge(const Pull& pull) {
    const double length_mm = pull.place.value;
    usual_mm_.add(length_mm, 1);
    ++retractions_;
    const double speed_mm_per_s = pull.speed_mm_per_s(least_mm_);
    if (speed_mm_per_s > speed_.value * (1 + nothing_mm)) {
      Place place = pull.place;
      place.value = speed_mm_per_s;
      fast_.add(place);
    }
    if (length_) {
      if (length_mm > length_->value + rounding_mm) far_.add(pull.place);
    } else if (length_mm > shortest_limit_mm_ + rounding_mm) {
      by_tenths_[std::lround(std::ceil(std::min(length_mm - rounding_mm, longest_told_apart_mm) * 10))].add(pull.place);
    }
  }

  double guessed_limit_mm() const {
    if (static_cast<double>(retractions_) < context_.limit("least_retractions").value) return far_beyond_mm_;
    const double out_of_place_mm = context_.limit("usual_ratio").value * usual_mm_.median();
    return std::min(far_beyond_mm_, std::max(shortest_limit_mm_, std::round(out_of_place_mm * 10) / 10));
  }

  Finding too_far(const Places& far, const Limit& limit) const {
    Finding finding = about(far, "farther", "mm", limit);
    const bool direct = context_.profile.machine.drive.known() && *context_.profile.machine.drive == Drive::direct;
    finding.what =
        fmt::format("In {}, {} back up to {} mm; ", layers_of(far),
                    far.count() == 1 ? "a retraction pulls" : fmt::format("{} retractions pull", far.count()),
                    figure(far.worst_value(), 2));
    if (length_)
      finding.what += fmt::format("this machine is taken to stand {} mm.", figure(limit.value, 2));
    else if (limit.value < far_beyond_mm_)
      finding.what += fmt::format("usual in this file are {} mm.", figure(usual_mm_.median(), 2));
    else
      finding.what += "that is far beyond what any drive needs.";
    finding.why =
        "So far back, melt comes out of the hot zone into the cold part above it, sticks there and freezes: a plug "
        "that "
        "the gear has to push out again. Sooner or later it does not, and the nozzle clogs.";
    finding.remedy = fmt::format("Pull back {} mm or less", figure(limit.value, 2));
    finding.remedy +=
        length_ && direct
            ? "; a drive on the hot end seldom needs more than 2 mm."
            : ", and against strings lower the nozzle temperature or dry the filament rather than pull farther.";
    if (!length_)
      finding.remedy += guess("--set machine.drive=bowden (or direct), or --set machine.max_retraction_mm=8");
    return finding;
  }

  Finding too_fast() const {
    Finding finding = about(fast_, "faster", "mm/s", speed_);
    finding.what =
        fmt::format("In {}, {} the filament back at up to {} mm/s; {} {} mm/s.", layers_of(fast_),
                    fast_.count() == 1 ? "a retraction pulls" : fmt::format("{} retractions pull", fast_.count()),
                    figure(fast_.worst_value()),
                    speed_guessed_ ? "far beyond what drives follow begins at" : "this drive is taken to follow",
                    figure(speed_.value));
    finding.why =
        "The teeth tear through the filament instead of taking it along: less is pulled back than the file asks for, "
        "so "
        "it strings, and the dust and the hollow that stay behind clog the drive.";
    finding.remedy = fmt::format("Pull back at {} mm/s or less; 20 to 60 mm/s are usual.", figure(speed_.value));
    if (speed_guessed_)
      finding.remedy +=
          guess("--set machine.drive=bowden (or direct), or --set machine.max_retraction_speed_mm_per_s=150");
    return finding;
  }

  static std::string guess(std::string_view key) {
    return fmt::format(" Nobody stated what this drive stands, so this is a guess; to state it: {}.", key);
  }

  Finding about(const Places& places, std::string_view key, std::string_view unit, const Limit& limit) const {
    Finding finding;
    finding.check = context_.name;
    finding.severity = Severity::warning;
    finding.symptoms = {Symptom::clogging, Symptom::stringing};
    finding.key = key;
    finding.measured = Measured{
        .value = places.worst_value(), .limit = limit.value, .unit = std::string(unit), .limit_from = limit.from};
    finding.places = places;
    return finding;
  }

  // Sums of decimals in a file are exact to far less than this.
  static constexpr double rounding_mm = 1e-6;

  CheckContext context_;
  double least_mm_;
  bool misread_ = false;
  std::optional<Limit> length_;  ///< none where the drive is a guess
  Limit speed_{std::numeric_limits<double>::infinity()};
  bool speed_guessed_ = false;
  double shortest_limit_mm_ = 0;
  double far_beyond_mm_ = 0;
  double file_limit_mm_per_s_ = std::numeric_limits<double>::infinity();
  std::map<std::uint8_t, std::optional<Pull>> open_;  ///< by tool
  std::vector<Pull> gap_;                             ///< since the last new bead
  bool exchanged_ = false;                            ///< in that gap the filament may have been unloaded
  bool has_beads_ = false;
  TypicalValue usual_mm_;
  std::uint64_t retractions_ = 0;
  std::map<long, Places> by_tenths_;  ///< by length, where it takes the whole file to judge it
  Places far_;
  Places fast_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<LongRetraction>(context); }

}  // namespace beadwise::checks::long_retraction
