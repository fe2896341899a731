#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/footings.hpp"
#include "checks/support/shrinkage.hpp"
#include "checks/support/wording.hpp"

namespace beadwise::checks::warp_prone {

const Description& describe() {
  static const Description description{
      .needs = Needs::stack,
      .severities = {Severity::note, Severity::warning},
      .symptoms = {Symptom::warping, Symptom::knocked_loose},
      .thresholds = {
          {.key = "strain_ratio",
           .built_in = 0.005,
           .unit = "ratio",
           .meaning = "a plastic that shrinks by no more from where it sets to the air is let go at any length",
           .source =
               "common practice: PLA (0.24 %) and PETG (0.32 %) lie flat as a rule, HIPS (0.6 %), ABS, ASA and PC "
               "(0.7 to 0.8 %) do not"},
          {.key = "note_mm",
           .built_in = 0.5,
           .unit = "mm",
           .meaning = "shrinking over the length on the plate; more is worth knowing",
           .source = "common practice: 70 mm of ABS"},
          {.key = "fan_warning_mm",
           .built_in = 0.7,
           .unit = "mm",
           .meaning = "more is likely to lift corners where the fan cools the part",
           .source = "common practice: 95 mm of ABS"},
          {.key = "warning_mm",
           .built_in = 1,
           .unit = "mm",
           .meaning = "more is likely to lift corners without a fan, too",
           .source = "common practice: 135 mm of ABS"},
          {.key = "fan_ratio",
           .built_in = 0.3,
           .unit = "ratio",
           .meaning = "a part-cooling fan that runs faster on average cools the part",
           .source = "common practice: 0 to 0.2 for ABS, ASA and PC"},
          {.key = "least_height_mm",
           .built_in = 1,
           .unit = "mm",
           .meaning = "what is no higher is too thin to lift a corner",
           .source = "common practice; what lets go is driven by the strain energy over the height of the part"},
          {.key = "ambient_c",
           .built_in = 25,
           .unit = "°C",
           .meaning = "the air around the part where no chamber is known",
           .source = "common practice: a room"}}};
  return description;
}

namespace {

class WarpProne final : public Check {
 public:
  explicit WarpProne(const CheckContext& context)
      : context_(context),
        strain_(context.limit("strain_ratio")),
        note_(context.limit("note_mm")),
        fan_warning_(context.limit("fan_warning_mm")),
        warning_(context.limit("warning_mm")),
        fan_ratio_(context.limit("fan_ratio").value),
        least_height_mm_(context.limit("least_height_mm").value),
        ambient_c_(context.limit("ambient_c").value),
        plastics_(shrinkages_of(context.profile.filament)) {
    air_c_ = context.profile.machine.chamber_c.value.value_or(ambient_c_);
  }

  void on_stack(const LayerStack& stack, Findings&) override {
    if (!shrinks()) return;
    const Layer& layer = stack.layer.layer;
    footings_.on_stack(stack);
    if (!context_.profile.machine.chamber_c.known() && layer.settings.chamber_c > air_c_)
      air_c_ = layer.settings.chamber_c;
    if (layer.on_plate) return;
    for (const Bead& bead : layer.beads) {
      length_mm_ += bead.path_mm;
      fan_mm_ += static_cast<double>(bead.fan_ratio) * bead.path_mm;
    }
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    if (job.extruder_switched || !shrinks()) return;
    for (const Footing& footing : footings_.standing()) judge(footing);
    if (!worst_ || has_brim_) return;
    findings.add(finding());
  }

  std::optional<std::string> skipped() const override {
    if (!plastics_.empty()) return std::nullopt;
    return "nothing tells the material, so nobody knows how much it shrinks: state it, such as --set "
           "filament.material=abs";
  }

 private:
  /// The one of those that fit that shrinks least.
  const Shrinkage& plastic() const {
    return *std::min_element(plastics_.begin(), plastics_.end(), [&](const Shrinkage& one, const Shrinkage& other) {
      return one.strain(air_c_) < other.strain(air_c_);
    });
  }

  double strain() const { return plastic().strain(air_c_); }
  bool shrinks() const { return !plastics_.empty() && strain() > strain_.value; }
  double fan() const { return length_mm_ > 0 ? fan_mm_ / length_mm_ : 0; }
  bool is_cooled() const { return fan() > fan_ratio_; }
  bool chamber_is_known() const { return air_c_ > ambient_c_ || context_.profile.machine.chamber_c.known(); }

  /// As its beads are called, or strands far apart: what a part itself lays on the plate is solid.
  static bool is_raft(const Footing& footing) {
    constexpr double most_of_it = 0.5;
    constexpr double open_ratio = 0.6;
    if (footing.raft_mm > most_of_it * footing.length_mm) return true;
    return footing.open_mm > most_of_it * footing.length_mm && footing.covered_ratio() < open_ratio;
  }

  void judge(const Footing& footing) {
    constexpr double most_of_it = 0.5;
    // A brim may lie so close to the part, and yet not touch it, that it is an island of its own.
    if (footing.brim_mm > 0) has_brim_ = true;
    if (footing.height_mm <= least_height_mm_) return;
    if (footing.skirt_mm > most_of_it * footing.length_mm || is_raft(footing)) return;
    const double shrinks_mm = strain() * footing.longest_mm();
    if (shrinks_mm <= note_.value) return;
    if (!worst_ || shrinks_mm > places_.worst_value()) worst_ = footing;
    places_.add({.line = footing.line,
                 .layer = footing.layer,
                 .x_mm = footing.at_mm.x,
                 .y_mm = footing.at_mm.y,
                 .z_mm = footing.at_mm.z,
                 .has_position = true,
                 .value = shrinks_mm});
  }

  Finding finding() const {
    const double shrinks_mm = places_.worst_value();
    const Limit& limit = is_cooled() ? fan_warning_ : warning_;
    const bool likely = shrinks_mm > limit.value;
    Finding finding;
    finding.check = context_.name;
    finding.severity = likely ? Severity::warning : Severity::note;
    finding.symptoms = {Symptom::warping, Symptom::knocked_loose};
    finding.what = fmt::format(
        "{} of {} lies {} mm long on the plate without a brim or a raft{}: from {} °C, where it sets, to air of {} °C "
        "it "
        "shrinks by {}{} %, {} mm over that length.",
        places_.count() == 1 ? std::string("A piece") : fmt::format("The longest of {} pieces", places_.count()),
        *context_.profile.filament.material, figure(worst_->longest_mm()),
        is_cooled() ? fmt::format(", with the fan at {} %", figure(100 * fan())) : std::string(),
        figure(plastic().sets_at_c), figure(air_c_), plastics_.size() > 1 ? "at least " : "", figure(100 * strain(), 2),
        figure(shrinks_mm, 1));
    finding.why =
        "What has set goes on shrinking and pulls the layers below together; where the pull at the ends is more than "
        "the "
        "plate holds, corners curl up, and the nozzle hits them.";
    finding.remedy = remedy();
    finding.key = "shrinks";
    finding.measured = Measured{.value = shrinks_mm,
                                .limit = likely ? limit.value : note_.value,
                                .unit = "mm",
                                .limit_from = likely ? limit.from : note_.from};
    finding.places = places_;
    return finding;
  }

  std::string remedy() const {
    std::string text = "Give it a brim of 5 to 10 mm, or a raft";
    if (is_cooled()) text += ", and leave the fan off but for bridges";
    text += "; keep the bed as warm as the maker of the filament allows, to the end.";
    if (!chamber_is_known())
      text +=
          " A closed chamber helps most: where yours is warm, state machine.chamber_c. Close a machine in only as its "
          "manual allows.";
    text += " Hot plastic gives off vapours: ventilate.";
    if (!context_.profile.filament.material.stated())
      text += " The material is a guess from the set points: state it by filament.material.";
    return text;
  }

  CheckContext context_;
  Limit strain_;
  Limit note_;
  Limit fan_warning_;
  Limit warning_;
  double fan_ratio_;
  double least_height_mm_;
  double ambient_c_;
  double air_c_ = 0;
  std::vector<Shrinkage> plastics_;
  Footings footings_;
  double length_mm_ = 0;  ///< of the beads over the first layer
  double fan_mm_ = 0;     ///< the fan's speed, times the length that has it
  bool has_brim_ = false;
  Places places_;
  std::optional<Footing> worst_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<WarpProne>(context); }

}  // namespace beadwise::checks::warp_prone
