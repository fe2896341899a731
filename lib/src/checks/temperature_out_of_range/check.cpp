#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/place_of.hpp"
#include "checks/support/wording.hpp"

namespace beadwise::checks::temperature_out_of_range {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::warning},
      .symptoms = {Symptom::stringing, Symptom::clogging, Symptom::weak_layers},
      .thresholds = {
          {.key = "margin_c",
           .built_in = 5,
           .unit = "°C",
           .meaning = "how far outside the material's range a set point may lie",
           .source = "common practice: sensors of hot ends differ by about as much"},
          {.key = "first_layer_c",
           .built_in = 10,
           .unit = "°C",
           .meaning = "how much hotter than that the first layer may be laid",
           .source = "common practice: first layers are printed 5 to 10 °C hotter, to stick"},
          {.key = "first_layer_mm",
           .built_in = 0.35,
           .unit = "mm",
           .meaning = "what lies no higher than this is the first layer too, where a prime line at another height came "
                      "before it",
           .source = "common practice: first layers are 0.15 to 0.3 mm high"},
          {.key = "end_ratio",
           .built_in = 0.1,
           .unit = "ratio",
           .meaning = "the last part of the printing time in which a colder set point is the cooling down of the end",
           .source = "common practice: beds are switched off some minutes before the end"}}};
  return description;
}

namespace {

/// One heater while beads are laid: the nozzle of a tool, or the bed.
struct Heater {
  bool is_bed = false;
  std::uint8_t tool = 0;

  auto operator<=>(const Heater&) const = default;
};

/// A stretch of the print on one side of the range.
struct Side {
  double worst_c = 0;  ///< the set point farthest out
  double time_s = 0;   ///< while beads are laid
  std::uint32_t last_layer = 0;
  Places places;  ///< the first bead of each layer
};

/// What was seen of one heater.
struct Watch {
  double time_s = 0;
  Side above;
  Side below;
  // Too cold since the last bead that was not: perhaps the end of the print.
  Side falling;
  std::vector<Place> falling_places;
};

class TemperatureOutOfRange final : public Check {
 public:
  explicit TemperatureOutOfRange(const CheckContext& context)
      : context_(context),
        margin_(context.limit("margin_c")),
        first_layer_c_(context.limit("first_layer_c").value),
        first_layer_mm_(context.limit("first_layer_mm").value),
        end_ratio_(context.limit("end_ratio").value) {}

  void on_moves(const MoveBatch& batch, Findings&) override {
    for (const Move& move : batch.moves) {
      if (move.kind != MoveKind::bead) continue;
      const Settings& settings = batch.settings_of(move);
      // A prime line may be drawn while the nozzle is still on its way.
      if (move.role == BeadRole::prime) continue;
      if (melts(settings.tool_c())) {
        watch({.is_bed = false, .tool = settings.tool}, context_.profile.filament.nozzle_c, settings.tool_c(), move);
      }
      watch({.is_bed = true, .tool = 0}, context_.profile.filament.bed_c, settings.bed_c, move);
    }
  }

  void on_end(const JobSummary&, Findings& findings) override {
    for (auto& [heater, seen] : heaters_) {
      if (seen.falling.time_s > end_ratio_ * seen.time_s) settle(seen);
      if (!seen.above.places.empty()) findings.add(too_hot(heater, seen.above));
      if (!seen.below.places.empty()) findings.add(too_cold(heater, seen.below));
    }
  }

  std::optional<std::string> skipped() const override {
    const FilamentProfile& filament = context_.profile.filament;
    if (!filament.nozzle_c.known() && !filament.bed_c.known()) {
      return "no built-in material fits the set points of this file; state what it is, --set filament.material=pla and "
             "the like, or its ranges, --set filament.nozzle_c=[lowest, highest] and filament.bed_c";
    }
    if (heaters_.empty()) return "the file sets no temperature while beads are laid";
    return std::nullopt;
  }

 private:
  /// A nozzle that melts nothing is told by cold-extrusion.
  bool melts(double set_c) const {
    const FilamentProfile& filament = context_.profile.filament;
    // First flow of PLA, rounded up: Read et al. 2024, doi 10.1007/s40192-024-00350-w, table 4. A guess claims no more.
    constexpr double flow_of_any_c = 150;
    if (!filament.flow_temperature_c.known()) return set_c >= flow_of_any_c;
    const double flow_c = *filament.flow_temperature_c;
    const bool stated = filament.material.stated() || filament.flow_temperature_c.stated();
    return set_c >= (stated ? flow_c : std::min(flow_c, flow_of_any_c));
  }

  bool is_first_layer(const Move& move) const { return move.layer <= 1 || move.to_mm.z <= first_layer_mm_; }

  void watch(const Heater& heater, const Setting<Range>& range, double set_c, const Move& move) {
    if (!range.known() || !std::isfinite(set_c)) return;
    Watch& seen = heaters_[heater];
    seen.time_s += move.duration_s;
    const double low = (*range).low - margin_.value;
    const double high = (*range).high + margin_.value + (is_first_layer(move) ? first_layer_c_ : 0);
    if (set_c < low) {
      note_falling(seen, set_c, (*range).low - set_c, move);
      return;
    }
    settle(seen);
    if (set_c > high) note_above(seen.above, set_c, set_c - (*range).high, move);
  }

  static void note_above(Side& side, double set_c, double beyond_c, const Move& move) {
    side.worst_c = side.places.empty() ? set_c : std::max(side.worst_c, set_c);
    side.time_s += move.duration_s;
    if (!side.places.empty() && side.last_layer == move.layer) return;
    side.last_layer = move.layer;
    side.places.add(place_of(move, beyond_c));
  }

  static void note_falling(Watch& seen, double set_c, double beyond_c, const Move& move) {
    Side& side = seen.falling;
    side.worst_c = seen.falling_places.empty() ? set_c : std::min(side.worst_c, set_c);
    side.time_s += move.duration_s;
    if (!seen.falling_places.empty() && side.last_layer == move.layer) return;
    side.last_layer = move.layer;
    seen.falling_places.push_back(place_of(move, beyond_c));
  }

  /// What was too cold was not the end: it counts.
  static void settle(Watch& seen) {
    if (seen.falling_places.empty()) return;
    Side& below = seen.below;
    below.worst_c = below.places.empty() ? seen.falling.worst_c : std::min(below.worst_c, seen.falling.worst_c);
    below.time_s += seen.falling.time_s;
    for (const Place& place : seen.falling_places) below.places.add(place);
    seen.falling = {};
    seen.falling_places.clear();
  }

  Finding too_hot(const Heater& heater, const Side& side) const {
    const Setting<Range>& range = range_of(heater);
    Finding finding = about(heater, side, (*range).high, "above");
    if (heater.is_bed) {
      finding.why =
          "On a bed this hot the lowest layers stay soft: they creep, flare out at the plate and sag under the part.";
    } else {
      finding.symptoms = {Symptom::stringing, Symptom::clogging};
      finding.why = fmt::format(
          "The hotter the melt, the thinner it runs: it oozes, draws strings, and what stays long in the hot end chars "
          "and clogs.{} Overheated plastic gives off fumes: ventilate, and follow the filament maker's data sheet.",
          degrades(side.worst_c));
    }
    finding.remedy = fmt::format("Set {} to {} °C or less for these layers{}.", name_of(heater),
                                 figure((*range).high, 1), or_state(heater, side.worst_c));
    return finding;
  }

  Finding too_cold(const Heater& heater, const Side& side) const {
    const Setting<Range>& range = range_of(heater);
    Finding finding = about(heater, side, (*range).low, "below");
    if (heater.is_bed) {
      finding.why =
          "On a bed this cold the part cools through and shrinks while it is printed: its corners lift and it "
          "can come loose.";
    } else {
      finding.symptoms = {Symptom::weak_layers, Symptom::clogging};
      finding.why =
          "Melt this cold is stiff: the drive gear has to push harder and may slip, and a bead lies on the "
          "last one without welding to it, so that the part splits between layers.";
    }
    finding.remedy = fmt::format("Set {} to {} °C or more for these layers{}.", name_of(heater),
                                 figure((*range).low, 1), or_state(heater, side.worst_c));
    return finding;
  }

  Finding about(const Heater& heater, const Side& side, double limit_c, std::string_view direction) const {
    const Setting<Range>& range = range_of(heater);
    Finding finding;
    finding.check = context_.name;
    finding.severity = Severity::warning;
    finding.key = fmt::format("{} {}", name_of(heater), direction);
    finding.what = fmt::format("While beads are laid in {}, {} is set to {} °C; {} is printed at {} to {} °C{}.",
                               layers_of(side.places), name_of(heater), figure(side.worst_c, 1), material(),
                               figure((*range).low, 1), figure((*range).high, 1), heater.is_bed ? " on the bed" : "");
    finding.measured = Measured{.value = side.worst_c, .limit = limit_c, .unit = "°C", .limit_from = range.from};
    finding.places = side.places;
    return finding;
  }

  const Setting<Range>& range_of(const Heater& heater) const {
    const FilamentProfile& filament = context_.profile.filament;
    return heater.is_bed ? filament.bed_c : filament.nozzle_c;
  }

  std::string material() const {
    const Setting<std::string>& name = context_.profile.filament.material;
    if (!name.known()) return "the filament";
    return name.stated() ? *name : fmt::format("{} (a guess from the set points)", *name);
  }

  std::string degrades(double set_c) const {
    const Setting<double>& safe = context_.profile.filament.max_safe_c;
    if (!safe.known() || set_c <= *safe) return "";
    return fmt::format(" Above {} °C this material begins to decompose.", figure(*safe));
  }

  std::string or_state(const Heater& heater, double set_c) const {
    const Setting<Range>& range = range_of(heater);
    const std::string own =
        fmt::format("--set filament.{}=[{}, {}]", heater.is_bed ? "bed_c" : "nozzle_c",
                    figure(std::min((*range).low, set_c), 1), figure(std::max((*range).high, set_c), 1));
    if (context_.profile.filament.material.stated() || range.stated()) {
      return fmt::format(", or state what this filament is printed at by its maker's data sheet, such as {}", own);
    }
    return fmt::format(
        ", or state what the filament is (--set filament.material=petg and the like) or its own range, such as {}",
        own);
  }

  static std::string name_of(const Heater& heater) {
    return heater.is_bed ? "the bed" : fmt::format("the nozzle of tool {}", heater.tool);
  }

  CheckContext context_;
  Limit margin_;
  double first_layer_c_;
  double first_layer_mm_;
  double end_ratio_;
  std::map<Heater, Watch> heaters_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<TemperatureOutOfRange>(context); }

}  // namespace beadwise::checks::temperature_out_of_range
