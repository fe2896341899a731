#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/melt_basis.hpp"
#include "checks/support/place_of.hpp"
#include "checks/support/wording.hpp"
#include "model/bead_geometry.hpp"
#include "model/melt_zone.hpp"

namespace beadwise::checks::flow_step {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::note},
      .symptoms = {Symptom::under_extrusion, Symptom::blobs},
      .thresholds = {
          {.key = "step_ratio",
           .built_in = 4,
           .unit = "ratio",
           .meaning = "the flow has to rise to so many times what it was",
           .source = "common practice: outlines and fills of one part differ by two to three times"},
          {.key = "share_ratio",
           .built_in = 0.5,
           .unit = "ratio",
           .meaning = "to at least this share of the flow that the melt zone heats through",
           .source = "from half of it on the load on the drive rises several times over: Read et al. 2024, doi "
                     "10.1007/s40192-024-00350-w"},
          {.key = "before_s",
           .built_in = 3,
           .unit = "s",
           .meaning = "for so long beads have to have been laid at the low flow",
           .source = "derived: about the time that filament of 1.75 mm needs to be heated through, R²/2α"},
          {.key = "after_mm3",
           .built_in = 4,
           .unit = "mm³",
           .meaning = "so much has to be asked for at the high flow; less comes out of what the melt has stored",
           .source = "common practice: about 50 mm of a plain bead"},
          {.key = "least_steps",
           .built_in = 5,
           .unit = "steps",
           .meaning = "fewer of them in a job are not worth a word",
           .source = "common practice"}}};
  return description;
}

namespace {

// The first beads of each tool are a line that fills the nozzle: common practice.
constexpr std::uint64_t prime_beads = 4;
// What the low flow is averaged over; a bead counts the less the longer ago it was laid.
constexpr double memory_s = 2;

struct Step {
  double from_mm3_per_s = 0;
  double to_mm3_per_s = 0;
  double heated_mm3_per_s = 0;
  double feedrate_mm_per_s = 0;
  double nozzle_c = 0;
};

/// A burst that may become a step.
struct Burst {
  bool open = false;
  double from_mm3_per_s = 0;
  double volume_mm3 = 0;
  double time_s = 0;
  double feedrate_mm_per_s = 0;
  Place place;
};

struct Tool {
  std::uint64_t beads = 0;
  double mean_flow = 0;  ///< over the beads before
  double laid_s = 0;     ///< beads laid since the last step
  Burst burst;
  Step worst;
  Places places;
};

class FlowStep final : public Check {
 public:
  explicit FlowStep(const CheckContext& context)
      : context_(context),
        step_(context.limit("step_ratio")),
        share_(context.limit("share_ratio").value),
        before_s_(context.limit("before_s").value),
        after_mm3_(context.limit("after_mm3").value),
        least_steps_(context.limit("least_steps").value),
        candidates_(melt_candidates(context.profile)) {
    if (!candidates_.empty()) filament_mm2_ = circle_area_mm2(candidates_.front().setup.filament_diameter_mm);
  }

  void on_moves(const MoveBatch& batch, Findings&) override {
    if (candidates_.empty()) return;
    for (const Move& move : batch.moves)
      if (move.kind == MoveKind::bead && move.fresh_mm > 0 && move.duration_s > 0) {
        const Settings& settings = batch.settings_of(move);
        on_bead(tools_[settings.tool], settings.tool_c(), move);
      }
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    switched_ = job.extruder_switched;
    misread_ = job.e_misread != EMisread::no;
    if (skipped()) return;
    for (const auto& [number, tool] : tools_)
      if (static_cast<double>(tool.places.count()) >= least_steps_) findings.add(finding_of(number, tool));
  }

  std::optional<std::string> skipped() const override {
    if (candidates_.empty()) return why_no_melt(context_.profile).value_or("the melt zone is unknown");
    if (switched_) return "the file switches the extruder on and off by commands, so the flow is unknown";
    if (misread_) return "the file has its E words read the wrong way round, so the flow is unknown";
    return std::nullopt;
  }

 private:
  void on_bead(Tool& tool, double nozzle_c, const Move& move) {
    if (move.role == BeadRole::prime || ++tool.beads <= prime_beads) return;
    if (nozzle_c != heated_at_c_) {
      heated_at_c_ = nozzle_c;
      heated_ = std::isnan(nozzle_c) ? 0 : heated_flow_mm3_per_s(soonest_heated(candidates_, nozzle_c).setup, nozzle_c);
    }
    const double volume_mm3 = move.fresh_mm * filament_mm2_;
    const double flow = volume_mm3 / move.duration_s;
    const bool near_limit = heated_ > 0 && flow >= share_ * heated_;
    Burst& burst = tool.burst;
    if (burst.open && !near_limit) burst.open = false;
    if (!burst.open && near_limit && tool.laid_s >= before_s_ && flow >= step_.value * tool.mean_flow) {
      burst = {true, tool.mean_flow, 0, 0, move.feedrate_mm_per_s, place_of(move, flow)};
    }
    if (burst.open) {
      burst.volume_mm3 += volume_mm3;
      burst.time_s += move.duration_s;
      if (burst.volume_mm3 >= after_mm3_) add_step(tool, nozzle_c);
    }
    const double weight = 1 - std::exp(-move.duration_s / memory_s);
    tool.mean_flow = tool.laid_s <= 0 ? flow : tool.mean_flow + weight * (flow - tool.mean_flow);
    tool.laid_s += move.duration_s;
  }

  void add_step(Tool& tool, double nozzle_c) const {
    const Burst& burst = tool.burst;
    const double to = burst.volume_mm3 / burst.time_s;
    if (to > tool.worst.to_mm3_per_s)
      tool.worst = {burst.from_mm3_per_s, to, heated_, burst.feedrate_mm_per_s, nozzle_c};
    Place place = burst.place;
    place.value = to;
    tool.places.add(place);
    tool.burst.open = false;
    tool.laid_s = 0;
  }

  Finding finding_of(std::uint8_t number, const Tool& tool) const {
    const Step& worst = tool.worst;
    Finding finding;
    finding.check = context_.name;
    finding.severity = Severity::note;
    finding.symptoms = {Symptom::under_extrusion, Symptom::blobs};
    finding.key = fmt::format("tool {}, steps", number);
    finding.what = fmt::format(
        "{} in {}, the flow rises to {} times or more what it was and near the limit, at most from {:.1f} to {:.1f} "
        "mm³/s; at {} °C the melt zone heats {:.1f} mm³/s through.{}",
        counted(tool.places.count(), "time", "times"), layers_of(tool.places), figure(step_.value, 1),
        worst.from_mm3_per_s, worst.to_mm3_per_s, figure(worst.nozzle_c, 1), worst.heated_mm3_per_s,
        melt_guesses(context_.profile));
    finding.why =
        "The pressure that drives the melt out has to be built up first, by compressing melt and filament, and the "
        "core "
        "of what follows is colder than before. The first stretch of the fast bead comes out too thin; where the flow "
        "falls again the stored pressure pushes a blob.";
    const double wanted = std::max(share_ * worst.heated_mm3_per_s, step_.value * worst.from_mm3_per_s);
    finding.remedy = fmt::format(
        "Lay the fast beads at {} mm/s instead of {}, or the slow ones faster, so that they differ less. What your "
        "machine does against pressure that lags behind, if anything, does not stand in the file.",
        figure(std::floor(worst.feedrate_mm_per_s * wanted / worst.to_mm3_per_s)), figure(worst.feedrate_mm_per_s, 1));
    finding.measured =
        Measured{.value = worst.to_mm3_per_s, .limit = wanted, .unit = "mm³/s", .limit_from = step_.from};
    finding.places = tool.places;
    return finding;
  }

  CheckContext context_;
  Limit step_;
  double share_;
  double before_s_;
  double after_mm3_;
  double least_steps_;
  std::vector<MeltCandidate> candidates_;
  double filament_mm2_ = 0;
  bool misread_ = false;
  std::map<std::uint8_t, Tool> tools_;
  double heated_at_c_ = std::numeric_limits<double>::quiet_NaN();
  double heated_ = 0;
  bool switched_ = false;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<FlowStep>(context); }

}  // namespace beadwise::checks::flow_step
