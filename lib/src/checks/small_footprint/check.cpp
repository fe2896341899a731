#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <string>

#include "beadwise/check.hpp"
#include "checks/support/footings.hpp"
#include "checks/support/wording.hpp"

namespace beadwise::checks::small_footprint {

const Description& describe() {
  static const Description description{
      .needs = Needs::stack,
      .severities = {Severity::note, Severity::warning},
      .symptoms = {Symptom::knocked_loose},
      .thresholds = {
          {.key = "pull_n",
           .built_in = 0.1,
           .unit = "N",
           .meaning = "the nozzle's sideways pull at the top",
           .source = "derived: stress of the melt sheared under the nozzle's face, 555 Pa·s × 50 mm/s / 0.2 mm = 0.14 "
                     "MPa for PLA at 210 °C, on 0.45 mm × 1 to 1.5 mm; a knock against an edge that has curled up is "
                     "several times that"},
          {.key = "adhesion_mpa",
           .built_in = 1,
           .unit = "MPa",
           .meaning = "the stress at which the first layer lets go of the plate",
           .source = "an assumption, for a clean and warm plate; it differs by a factor of several from plate to plate "
                     "and was found published for none"},
          {.key = "note_ratio",
           .built_in = 0.5,
           .unit = "ratio",
           .meaning = "stress at the foot's edge over adhesion; above it worth knowing",
           .source = "common practice: half of what is assumed to hold"},
          {.key = "warning_ratio",
           .built_in = 1,
           .unit = "ratio",
           .meaning = "above it likely to come off",
           .source = "follows from the two assumptions above"},
          {.key = "tiny_mm2",
           .built_in = 1,
           .unit = "mm²",
           .meaning = "a first-layer island that covers less of the plate, and carries something, is worth knowing",
           .source = "common practice: a dot 1.1 mm across, a ring of one bead"}}};
  return description;
}

namespace {

// Narrower brims hold little more than the outline they are laid around: common practice.
constexpr double least_brim_mm = 3;
constexpr double brim_step_mm = 0.5;

/// Feet of one kind of fault, and the worst of them.
struct Feet {
  Places places;
  std::optional<Footing> worst;

  void add(const Footing& footing, double badness) {
    const bool worse = !worst || badness > places.worst_value();
    places.add({.line = footing.line,
                .layer = footing.layer,
                .x_mm = footing.at_mm.x,
                .y_mm = footing.at_mm.y,
                .z_mm = footing.at_mm.z,
                .has_position = true,
                .value = badness});
    if (worse) worst = footing;
  }
};

class SmallFootprint final : public Check {
 public:
  explicit SmallFootprint(const CheckContext& context)
      : context_(context),
        pull_n_(context.limit("pull_n").value),
        adhesion_mpa_(context.limit("adhesion_mpa").value),
        note_(context.limit("note_ratio")),
        warning_(context.limit("warning_ratio")),
        tiny_(context.limit("tiny_mm2")) {
    const Setting<EUnit>& unit = context.profile.machine.e_unit;
    beads_are_known_ = !unit.known() || *unit != EUnit::neither;
  }

  void on_stack(const LayerStack& stack, Findings&) override {
    if (!beads_are_known_) return;
    for (const Footing& footing : footings_.on_stack(stack)) judge(footing, true);
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    if (job.extruder_switched) return;
    for (const Footing& footing : footings_.standing()) judge(footing, stands_on(footing));
    if (slender_.worst) findings.add(tips_over(slender_, Severity::warning));
    if (narrow_.worst) findings.add(tips_over(narrow_, Severity::note));
    if (small_.worst) findings.add(tiny());
  }

  std::optional<std::string> skipped() const override {
    if (beads_are_known_) return std::nullopt;
    return "E has no plausible reading, so nobody knows how wide the beads are";
  }

 private:
  /// A prime line, a skirt or a piece of brim carries nothing.
  static bool stands_on(const Footing& footing) {
    constexpr double several_layers = 1.5;
    return footing.height_mm > several_layers * footing.first_height_mm;
  }

  void judge(const Footing& footing, bool carries) {
    constexpr double most_of_it = 0.5;
    if (!carries || footing.skirt_mm > most_of_it * footing.length_mm) return;
    const double ratio = stress_mpa(footing) / adhesion_mpa_;
    if (ratio >= warning_.value)
      slender_.add(footing, ratio);
    else if (ratio >= note_.value)
      narrow_.add(footing, ratio);
    else if (footing.contact.area_mm2 < tiny_.value)
      small_.add(footing, tiny_.value - footing.contact.area_mm2);
  }

  /// At the edge that lifts when the nozzle pulls at the top.
  double stress_mpa(const Footing& footing) const {
    const double modulus_mm3 = footing.section_modulus_mm3();
    return modulus_mm3 > 0 ? pull_n_ * footing.height_mm / modulus_mm3 : 0;
  }

  Finding tips_over(const Feet& feet, Severity severity) const {
    const Footing& worst = *feet.worst;
    const double ratio = feet.places.worst_value();
    const Limit& limit = severity == Severity::warning ? warning_ : note_;
    Finding finding;
    finding.check = context_.name;
    finding.severity = severity;
    finding.symptoms = {Symptom::knocked_loose};
    finding.what = fmt::format(
        "{} of the print {} on {}: the one at X{} Y{}, {} mm high on {} mm²{}, lets go where {} N pull "
        "sideways at its top.",
        counted(feet.places.count(), "piece", "pieces"), feet.places.count() == 1 ? "stands" : "stand",
        severity == Severity::warning ? "too small a foot" : "a small foot", figure(worst.at_mm.x, 1),
        figure(worst.at_mm.y, 1), figure(worst.height_mm, 1), figure(worst.contact.area_mm2, 1),
        worst.brim_mm > 0 ? " with its brim" : "", figure(pull_n_ / ratio, 2));
    finding.why = fmt::format(
        "The nozzle pulls at what it lays, by about {} N, and knocks harder where an edge has curled up; the height is "
        "the lever with which it lifts the edge of the foot, where {} MPa are taken to hold. What comes off is dragged "
        "through the rest of the print.",
        figure(pull_n_, 2), figure(adhesion_mpa_, 2));
    finding.remedy = remedy(worst);
    finding.key = severity == Severity::warning ? "tips over" : "may tip over";
    finding.measured = Measured{.value = ratio, .limit = limit.value, .unit = "ratio", .limit_from = limit.from};
    finding.places = feet.places;
    return finding;
  }

  std::string remedy(const Footing& worst) const {
    // A round foot of diameter d has the section modulus π d³/32.
    const double needed_mm3 = pull_n_ * worst.height_mm / (note_.value * adhesion_mpa_);
    const double diameter_mm = std::cbrt(32 * needed_mm3 / std::numbers::pi);
    const double has_mm = std::cbrt(32 * worst.section_modulus_mm3() / std::numbers::pi);
    const double brim_mm = std::ceil(std::max(0.0, diameter_mm - has_mm) / 2 / brim_step_mm) * brim_step_mm;
    return fmt::format(
        "{} {} mm, or lay it on a raft; or print it lying down, or several in one piece at the foot. Fewer knocks help "
        "too: lift the nozzle on the way to it, and lay its small layers slowly.",
        worst.brim_mm > 0 ? "Widen its brim by" : "Give it a brim of", figure(std::max(brim_mm, least_brim_mm), 1));
  }

  Finding tiny() const {
    const Footing& worst = *small_.worst;
    Finding finding;
    finding.check = context_.name;
    finding.severity = Severity::note;
    finding.symptoms = {Symptom::knocked_loose};
    finding.what = fmt::format(
        "{} of the first layer {} less than {} mm² of the plate, the smallest {} mm² at X{} Y{}.",
        counted(small_.places.count(), "island", "islands"), small_.places.count() == 1 ? "covers" : "cover each",
        figure(tiny_.value, 1), figure(worst.contact.area_mm2, 1), figure(worst.at_mm.x, 1), figure(worst.at_mm.y, 1));
    finding.why =
        "Until the next layer ties such a dot to others it holds by itself alone, and a nozzle that passes takes it "
        "along.";
    finding.remedy =
        "Lay the first layer slowly and lift the nozzle between its islands; or begin with a layer that ties them "
        "together, or with a brim.";
    finding.key = "tiny islands";
    finding.measured =
        Measured{.value = worst.contact.area_mm2, .limit = tiny_.value, .unit = "mm²", .limit_from = tiny_.from};
    finding.places = small_.places;
    return finding;
  }

  CheckContext context_;
  double pull_n_;
  double adhesion_mpa_;
  Limit note_;
  Limit warning_;
  Limit tiny_;
  bool beads_are_known_ = true;
  Footings footings_;
  Feet slender_;
  Feet narrow_;
  Feet small_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<SmallFootprint>(context); }

}  // namespace beadwise::checks::small_footprint
