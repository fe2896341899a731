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
#include "model/bead_geometry.hpp"

namespace beadwise::checks::short_spool {

const Description& describe() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::error},
      .symptoms = {Symptom::runout},
      .thresholds = {{.key = "reserve_mm",
                      .built_in = 100,
                      .unit = "mm",
                      .meaning = "the end of a spool that never gets through: bent where it is held, or past the gear",
                      .source =
                          "common practice: the first turn is stuck through a hole of the hub; state a metre where "
                          "a long guide tube lies before the gear"}}};
  return description;
}

namespace {

constexpr double mm3_per_cm3 = 1000;
constexpr double mm_per_m = 1000;

/// What one tool has fed, and where its spool ran out.
struct Feed {
  double fed_mm = 0;
  bool exchanged = false;      ///< another spool is on: how long that one is, nobody stated
  std::optional<Place> empty;  ///< where the spool runs out
  double fed_until_mm = 0;     ///< from the spool that was stated
};

class ShortSpool final : public Check {
 public:
  explicit ShortSpool(const CheckContext& context) : context_(context), reserve_(context.limit("reserve_mm")) {
    const Profile& profile = context.profile;
    const FilamentProfile& filament = profile.filament;
    neither_ = profile.machine.e_unit.known() && *profile.machine.e_unit == EUnit::neither;
    if (filament.spool_length_mm.known()) {
      length_mm_ = *filament.spool_length_mm;
      from_ = filament.spool_length_mm.from;
    } else if (filament.spool_mass_g.known()) {
      // A density that follows from a guess of the material could be a quarter off: no ground for an error.
      density_stated_ = filament.density_g_per_cm3.stated() || filament.material.stated();
      if (!density_stated_ || !filament.density_g_per_cm3.known()) return;
      length_mm_ = *filament.spool_mass_g / *filament.density_g_per_cm3 * mm3_per_cm3 /
                   circle_area_mm2(*profile.machine.filament_diameter_mm);
      from_ = filament.spool_mass_g.from;
    }
  }

  void on_moves(const MoveBatch& batch, Findings&) override {
    if (!length_mm_ || neither_) return;
    in_order(
        batch, [&](const Event& event) { on_event(event); },
        [&](const Move& move) { on_move(move, batch.settings_of(move).tool); });
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    if (job.extruder_switched) return;
    for (const auto& [tool, feed] : tools_)
      if (feed.empty) findings.add(finding(tool, feed));
  }

  std::optional<std::string> skipped() const override {
    if (neither_) return "E has no plausible reading, so nobody knows how much filament the job feeds";
    if (length_mm_) return std::nullopt;
    if (context_.profile.filament.spool_mass_g.known())
      return "the mass on the spool is stated but not of what: state the material too, such as "
             "--set filament.material=pla, or the density";
    return "nobody stated what is on the spool: --set filament.spool_length_mm=42000, or "
           "--set filament.spool_mass_g=125 with the material";
  }

 private:
  void on_event(const Event& event) {
    // A change before the first bead puts on the spool that was stated.
    if (event.kind == EventKind::filament_change && event.layer > 0) tools_[event.tool].exchanged = true;
  }

  void on_move(const Move& move, std::uint8_t tool) {
    if (!(move.fresh_mm > 0)) return;
    Feed& feed = tools_[tool];
    feed.fed_mm += move.fresh_mm;
    if (feed.exchanged) return;
    feed.fed_until_mm = feed.fed_mm;
    if (!feed.empty && feed.fed_mm > usable_mm()) feed.empty = place_of(move, feed.fed_mm);
  }

  double usable_mm() const { return std::max(0.0, *length_mm_ - reserve_.value); }

  Finding finding(std::uint8_t tool, const Feed& feed) const {
    const double needed_mm = feed.fed_until_mm;
    Finding finding;
    finding.check = context_.name;
    finding.severity = Severity::error;
    finding.symptoms = {Symptom::runout};
    finding.what =
        fmt::format("{} feeds {} m of filament{}; of the {} m on the spool {} m get through. It runs out {} (line {}).",
                    tools_.size() > 1 ? fmt::format("Tool {}", tool) : "The job", metres(needed_mm),
                    feed.exchanged ? " before it is changed" : "", metres(*length_mm_), metres(usable_mm()),
                    feed.empty->layer == 0 ? "before the first layer" : fmt::format("in layer {}", feed.empty->layer),
                    feed.empty->line);
    finding.why =
        "When the end of the filament has passed the gear, nothing pushes any more: the head goes on over the part and "
        "lays nothing. Without a sensor that stops the machine, everything above this layer is missing.";
    finding.remedy = fmt::format(
        "Take a spool with more than {} m on it ({} m and the last {} m that do not get through), or {}.",
        metres(std::ceil((needed_mm + reserve_.value) / 10) * 10), metres(needed_mm), metres(reserve_.value),
        feed.empty->layer > 1 ? fmt::format("plan a change of filament (M600) before layer {}", feed.empty->layer)
                              : "print less at a time");
    finding.key = fmt::format("tool {}", tool);
    finding.measured = Measured{.value = needed_mm, .limit = usable_mm(), .unit = "mm", .limit_from = from_};
    Place place = *feed.empty;
    place.value = needed_mm;
    finding.places.add(place);
    return finding;
  }

  static std::string metres(double length_mm) {
    return figure(length_mm / mm_per_m, std::abs(length_mm) < mm_per_m ? 3 : 2);
  }

  CheckContext context_;
  Limit reserve_;
  std::optional<double> length_mm_;
  Origin from_ = Origin::built_in;
  bool density_stated_ = false;
  bool neither_ = false;
  std::map<std::uint8_t, Feed> tools_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<ShortSpool>(context); }

}  // namespace beadwise::checks::short_spool
