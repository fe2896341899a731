#include <fmt/format.h>

#include <cmath>
#include <map>
#include <optional>
#include <string>

#include "beadwise/check.hpp"
#include "checks/support/place_of.hpp"
#include "checks/support/wording.hpp"
#include "machine/in_order.hpp"
#include "model/bead_geometry.hpp"
#include "model/typical_value.hpp"

namespace beadwise::checks::implausible_bead {

const Description& describe() {
  static const Description description{
      .needs = Needs::beads,
      .severities = {Severity::warning, Severity::error},
      .symptoms = {Symptom::under_extrusion, Symptom::blobs},
      .thresholds = {
          {.key = "jump_mm",
           .built_in = 100,
           .unit = "mm",
           .meaning = "one bead that takes more fresh filament than this, and more than its own length, is an error",
           .source = "common practice: even a purge line of 200 mm takes 10 to 30 mm"},
          {.key = "blob_mm",
           .built_in = 5,
           .unit = "mm",
           .meaning =
               "one bead after the start that takes more fresh filament than this, and more than its own length, "
               "is warned of",
           .source = "common practice: 5 mm of filament of 1.75 mm make a lump of nearly 3 mm"},
          {.key = "push_mm",
           .built_in = 1000,
           .unit = "mm",
           .meaning = "more fresh filament than this pushed at once, standing, after the first bead is an error",
           .source = "common practice: the longest guide tubes are loaded with less"},
          {.key = "wide_ratio",
           .built_in = 3,
           .unit = "ratio",
           .meaning = "no nozzle lays a bead wider than this many of its diameters",
           .source = "common practice: the face of a nozzle is 2 to 3 orifices wide"},
          {.key = "flat_ratio",
           .built_in = 8,
           .unit = "ratio",
           .meaning = "nor one that is as wide and more than this many times as wide as high",
           .source = "common practice: beads are 1.5 to 5 times as wide as high"},
          {.key = "wide_share_ratio",
           .built_in = 0.05,
           .unit = "ratio",
           .meaning = "the share of the printed length that has to be too wide before it is told",
           .source = "common practice: purge lines and thick starts are less"},
          {.key = "round_share_ratio",
           .built_in = 0.5,
           .unit = "ratio",
           .meaning = "the share of the printed length that has to be narrower than high before it is told",
           .source = "common practice: gap fill and fine details are less"},
          {.key = "flow_factor_ratio",
           .built_in = 1.15,
           .unit = "ratio",
           .meaning = "a flow factor of M221 beyond this, or below its reciprocal, may be a second scaling",
           .source = "common practice: filament is tuned by 10 % at most"}}};
  return description;
}

namespace {

// A bead as wide as common practice has it, in nozzle diameters.
constexpr double usual_low = 0.7;
constexpr double usual_high = 2;
constexpr std::size_t most_flow_factors = 64;

class ImplausibleBead final : public Check {
 public:
  explicit ImplausibleBead(const CheckContext& context)
      : context_(context),
        machine_(context.profile.machine),
        jump_(context.limit("jump_mm")),
        blob_(context.limit("blob_mm")),
        push_(context.limit("push_mm")),
        wide_(context.limit("wide_ratio")),
        flat_(context.limit("flat_ratio").value) {}

  void on_moves(const MoveBatch& batch, Findings&) override {
    in_order(
        batch, [this](const Event& event) { on_event(event); }, [this](const Move& move) { on_move(move); });
  }

  void on_layer(const Layer& layer, Findings&) override {
    if (layer.height_mm <= 0) return;  // laid at Z 0: no height, so no width
    for (const Bead& bead : layer.beads) {
      if (bead.role == BeadRole::prime || !(bead.area_mm2 > 0)) continue;
      // More filament than path is a jump, a lump or purging, and told as such.
      if (machine_.filament_diameter_mm.known() && bead.area_mm2 > circle_area_mm2(*machine_.filament_diameter_mm)) {
        continue;
      }
      // Worked out here: the bead has none where no reading of E is plausible.
      const double width_mm = bead_width_mm(bead.area_mm2, layer.height_mm);
      path_mm_ += bead.path_mm;
      width_mm_.add(width_mm, bead.path_mm);
      height_mm_.add(layer.height_mm, bead.path_mm);
      area_mm2_.add(bead.area_mm2, bead.path_mm);
      const Place place{.line = bead.line,
                        .layer = layer.number,
                        .x_mm = bead.from_mm.x,
                        .y_mm = bead.from_mm.y,
                        .z_mm = bead.from_mm.z,
                        .has_position = true,
                        .value = width_mm};
      if (is_too_wide(width_mm, layer.height_mm)) {
        too_wide_.add(place);
        too_wide_mm_ += bead.path_mm;
      }
      if (width_mm < layer.height_mm) {
        Place thin = place;
        thin.value = layer.height_mm - width_mm;
        round_.add(thin);
        round_mm_ += bead.path_mm;
      }
    }
  }

  void on_end(const JobSummary& summary, Findings& findings) override {
    misread_ = summary.e_misread;
    first_ = summary.first_drawn;
    if (summary.extruder_switched) return;
    if (misread_ != EMisread::no) {
      // What else is odd about the beads follows from it.
      findings.add(wrong_mode());
      return;
    }
    if (const double factor = second_factor(); factor > 0) findings.add(scaled_twice(factor));
    if (no_reading()) return;
    if (!jumps_.empty()) findings.add(jump());
    if (!blobs_.empty()) findings.add(blob());
    if (!pushes_.empty()) findings.add(pushed());
    judge_shape(findings);
  }

  std::optional<std::string> skipped() const override {
    const bool explained = misread_ != EMisread::no || second_factor() > 0;
    if (!no_reading() || explained) return std::nullopt;
    return "no reading of E, as length or as volume, gives beads that a nozzle can lay; state what it is, --set "
           "machine.e_unit=mm or mm3, with machine.filament_diameter_mm and machine.nozzle_diameter_mm";
  }

 private:
  void on_event(const Event& event) {
    if (event.kind == EventKind::flow_factor_set) flow_factor_ = event.value;
  }

  void on_move(const Move& move) {
    if (move.kind == MoveKind::feed && laid_ && move.fresh_mm > push_.value) {
      pushes_.add(place_of(move, move.fresh_mm));
    }
    if (move.kind != MoveKind::bead || move.role == BeadRole::prime) return;
    if (by_flow_factor_.size() < most_flow_factors || by_flow_factor_.count(flow_factor_) > 0) {
      by_flow_factor_[flow_factor_] += move.path_mm;
    }
    if (move.fresh_mm <= move.path_mm) {
      laid_ = true;
      return;
    }
    if (move.fresh_mm > jump_.value) {
      jumps_.add(place_of(move, move.fresh_mm));
    } else if (move.fresh_mm > blob_.value && laid_) {
      blobs_.add(place_of(move, move.fresh_mm));
    }
  }

  bool no_reading() const { return machine_.e_unit.known() && *machine_.e_unit == EUnit::neither; }

  bool is_too_wide(double width_mm, double height_mm) const {
    return machine_.nozzle_diameter_mm.known() && width_mm > wide_.value * *machine_.nozzle_diameter_mm &&
           width_mm > flat_ * height_mm;
  }

  Places first_place() const {
    Places places;
    if (first_) places.add(place_of(*first_, std::abs(first_->filament_mm)));
    return places;
  }

  Finding wrong_mode() const {
    const bool steps = misread_ == EMisread::steps_as_total;
    const Places places = first_place();
    Finding finding = about("mode of E", Severity::error, places);
    finding.symptoms = {Symptom::under_extrusion, Symptom::blobs};
    finding.what =
        steps
            ? "E is written as steps, from line to line, but the file has it read as a running total (M82, or neither "
              "M82 nor M83)."
            : "E is written as a running total, but the file has it read as steps (M83, or G91).";
    finding.why = steps ? "The machine pulls the filament back and forth by tiny amounts and lays almost nothing."
                        : "Every bead gets everything that was fed before it once more: the nozzle floods the part and "
                          "the drive gear grinds.";
    finding.remedy = fmt::format(
        "Put {} before the first bead (line {}), after the last G90 or G91, or slice the job "
        "anew with the mode of E that your start commands set.",
        steps ? "M83" : "M82", first_->line);
    return finding;
  }

  Finding jump() const {
    Finding finding = about("jump of E", Severity::error, jumps_);
    finding.symptoms = {Symptom::blobs};
    finding.what = fmt::format("{} up to {} mm of fresh filament, more than the bead itself is long.",
                               counted(jumps_.count(), "bead takes", "beads take"), figure(jumps_.worst_value(), 1));
    finding.why =
        "No nozzle lays a bead thicker than the filament it is made of: the head would stand for minutes in a "
        "growing lump, the drive gear grinds, or the machine refuses the line.";
    finding.remedy = fmt::format(
        "Look at line {}: mostly E was set anew (G92 E0) without its lines, lines were lost or joined, or E changes "
        "between running total and steps. Slice the job anew or set E before that line.",
        jumps_.worst().front().line);
    measure(finding, jumps_.worst_value(), jump_);
    return finding;
  }

  Finding blob() const {
    Finding finding = about("lump", Severity::warning, blobs_);
    finding.symptoms = {Symptom::blobs};
    finding.what = fmt::format("{} up to {} mm of fresh filament, more than the bead itself is long, in {}.",
                               counted(blobs_.count(), "bead takes", "beads take"), figure(blobs_.worst_value(), 1),
                               layers_of(blobs_));
    finding.why = "It leaves a lump that the nozzle runs into later, and what follows may lack the pressure.";
    finding.remedy = fmt::format(
        "Look at line {}: if it is meant to clean the nozzle, do it away from the part; else slice the job anew.",
        blobs_.worst().front().line);
    measure(finding, blobs_.worst_value(), blob_);
    return finding;
  }

  Finding pushed() const {
    Finding finding = about("push", Severity::error, pushes_);
    finding.symptoms = {Symptom::blobs};
    finding.what = fmt::format("The standing head pushes {} mm of fresh filament in one go, in {}.",
                               figure(pushes_.worst_value(), 1), layers_of(pushes_));
    finding.why =
        "That is more than loading the longest guide tube takes: it ends as a heap on the part, or the machine "
        "refuses the line.";
    finding.remedy = fmt::format("Look at line {}: mostly E was not set back (G92 E0) before it. Slice the job anew.",
                                 pushes_.worst().front().line);
    measure(finding, pushes_.worst_value(), push_);
    return finding;
  }

  void judge_shape(Findings& findings) const {
    if (width_mm_.empty() || !machine_.nozzle_diameter_mm.known() || second_factor() > 0) return;
    if (suits_other_filament()) return;
    if (too_wide_mm_ >= context_.limit("wide_share_ratio").value * path_mm_) findings.add(too_wide());
    if (round_mm_ >= context_.limit("round_share_ratio").value * path_mm_) findings.add(too_thin());
  }

  /// A stated filament that is not the job's is what `wrong-machine` tells.
  bool suits_other_filament() const {
    if (machine_.e_unit.stated() || !machine_.nozzle_diameter_mm.stated()) return false;
    if (!machine_.filament_diameter_mm.stated()) return false;
    constexpr double slim_mm = 1.75;
    constexpr double thick_mm = 2.85;
    const double stated_mm = *machine_.filament_diameter_mm;
    const double other_mm = stated_mm < (slim_mm + thick_mm) / 2 ? thick_mm : slim_mm;
    const double factor = other_mm * other_mm / (stated_mm * stated_mm);
    return !is_usual(width_mm_.median()) && is_usual(width_without(1 / factor));
  }

  /// The flow factor that most is laid with, where it makes implausible what would fit without it; else 0.
  double second_factor() const {
    if (width_mm_.empty() || !machine_.nozzle_diameter_mm.known()) return 0;
    double factor = 1;
    double most_mm = 0;
    for (const auto& [value, path_mm] : by_flow_factor_) {
      if (path_mm <= most_mm) continue;
      most_mm = path_mm;
      factor = value;
    }
    const double limit = context_.limit("flow_factor_ratio").value;
    if (!(factor > 0) || (factor < limit && factor > 1 / limit)) return 0;
    return is_usual(width_mm_.median()) || !is_usual(width_without(factor)) ? 0 : factor;
  }

  double width_without(double factor) const { return bead_width_mm(area_mm2_.median() / factor, height_mm_.median()); }

  bool is_usual(double width_mm) const {
    const double ratio = width_mm / *machine_.nozzle_diameter_mm;
    return ratio >= usual_low && ratio <= usual_high;
  }

  Finding scaled_twice(double factor) const {
    const Places places = first_place();
    Finding finding = about("flow factor", severity(), places);
    finding.symptoms = {factor > 1 ? Symptom::blobs : Symptom::under_extrusion};
    finding.what = fmt::format(
        "Most is laid with a flow factor of {} % (M221): typical beads are {} mm wide at {} mm layers. Without it they "
        "would be {} mm, which suits {}.",
        figure(factor * 100), figure(width_mm_.median(), 2), figure(height_mm_.median(), 2),
        figure(width_without(factor), 2), nozzle());
    finding.why = "The flow seems to be scaled twice, in E itself and by the machine.";
    finding.remedy = fmt::format("Set M221 S100 before the first bead, or slice the job anew without a flow factor.{}",
                                 how_to_state());
    measure(finding, factor, context_.limit("flow_factor_ratio"));
    finding.measured->unit = "ratio";
    return finding;
  }

  Finding too_wide() const {
    const double nozzle_mm = *machine_.nozzle_diameter_mm;
    Finding finding = about("wide beads", severity(), too_wide_);
    finding.symptoms = {Symptom::blobs};
    finding.what = fmt::format(
        "{} % of the printed length has beads of up to {} mm in width, more than {} diameters of {}; typical beads are "
        "{} mm wide at {} mm layers.",
        figure(100 * too_wide_mm_ / path_mm_), figure(too_wide_.worst_value(), 2), figure(wide_.value), nozzle(),
        figure(width_mm_.median(), 2), figure(height_mm_.median(), 2));
    finding.why =
        "A nozzle spreads material only as far as its face reaches. The rest wells up beside it, sticks to "
        "it, and is dragged through the part.";
    finding.remedy = fmt::format(
        "Check flow, filament diameter, and whether E is a length or a volume, and slice the job anew: beads of {} mm "
        "at this height need {} times less filament than the widest ones.{}",
        figure(1.15 * nozzle_mm, 2), figure(too_wide_.worst_value() / (1.15 * nozzle_mm), 1), how_to_state());
    measure(finding, too_wide_.worst_value(), wide_);
    finding.measured->limit = wide_.value * nozzle_mm;
    return finding;
  }

  Finding too_thin() const {
    Finding finding = about("thin beads", severity(), round_);
    finding.symptoms = {Symptom::under_extrusion};
    finding.what = fmt::format(
        "{} % of the printed length gets so little filament that the strand is thinner than the layer is high: "
        "typically {} mm at {} mm layers.",
        figure(100 * round_mm_ / path_mm_), figure(width_mm_.median(), 2), figure(height_mm_.median(), 2));
    finding.why =
        "Such a strand hangs in the air between nozzle and part and is not pressed on: gaps, and layers that "
        "come apart.";
    finding.remedy = fmt::format(
        "Check flow, filament diameter, and whether E is a length or a volume, and slice the job anew: a bead of {} mm "
        "at this height needs {} times the filament.{}",
        figure(1.15 * *machine_.nozzle_diameter_mm, 2),
        figure(bead_area_mm2(1.15 * *machine_.nozzle_diameter_mm, height_mm_.median()) / area_mm2_.median(), 1),
        how_to_state());
    finding.measured =
        Measured{.value = width_mm_.median(), .limit = height_mm_.median(), .unit = "mm", .limit_from = Origin::file};
    return finding;
  }

  /// What rests on a guess is no error.
  Severity severity() const {
    const bool stated = machine_.nozzle_diameter_mm.stated() && machine_.filament_diameter_mm.stated();
    return stated ? Severity::error : Severity::warning;
  }

  std::string nozzle() const {
    return fmt::format("a {} mm nozzle{}", figure(*machine_.nozzle_diameter_mm, 2),
                       machine_.nozzle_diameter_mm.stated() ? "" : " (a guess)");
  }

  std::string how_to_state() const {
    if (severity() == Severity::error) return "";
    return " Nozzle or filament are a guess; state them if they are wrong: --set machine.nozzle_diameter_mm=0.4, --set "
           "machine.filament_diameter_mm=1.75.";
  }

  static void measure(Finding& finding, double value, const Limit& limit) {
    finding.measured = Measured{.value = value, .limit = limit.value, .unit = "mm", .limit_from = limit.from};
  }

  Finding about(std::string_view key, Severity severity, const Places& places) const {
    Finding finding;
    finding.check = context_.name;
    finding.severity = severity;
    finding.key = key;
    finding.places = places;
    return finding;
  }

  CheckContext context_;
  const MachineProfile& machine_;
  Limit jump_;
  Limit blob_;
  Limit push_;
  Limit wide_;
  double flat_;
  EMisread misread_ = EMisread::no;
  std::optional<Move> first_;
  bool laid_ = false;  ///< an ordinary bead: what comes before is loading and purging
  double flow_factor_ = 1;
  std::map<double, double> by_flow_factor_;  ///< length laid
  Places jumps_;
  Places blobs_;
  Places pushes_;
  double path_mm_ = 0;
  double too_wide_mm_ = 0;
  double round_mm_ = 0;
  Places too_wide_;
  Places round_;
  TypicalValue width_mm_;
  TypicalValue height_mm_;
  TypicalValue area_mm2_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<ImplausibleBead>(context); }

}  // namespace beadwise::checks::implausible_bead
