#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/nozzle_range.hpp"
#include "checks/support/passage.hpp"
#include "checks/support/pull_back.hpp"
#include "checks/support/travel_cover.hpp"
#include "checks/support/wording.hpp"
#include "model/layer_stack.hpp"
#include "model/role_kinds.hpp"
#include "model/typical_value.hpp"

namespace beadwise::checks::open_travel {

const Description& describe() {
  static const Description description{
      .needs = Needs::stack,
      .severities = {Severity::note, Severity::warning},
      .symptoms = {Symptom::stringing},
      .thresholds = {
          {.key = "direct_mm",
           .built_in = PullBackLengths::enough_direct_mm,
           .unit = "mm",
           .meaning = "pulled back less than this, a direct drive leaves the nozzle under pressure",
           .source = "common practice: 0.5 to 2 mm"},
          {.key = "bowden_mm",
           .built_in = PullBackLengths::enough_bowden_mm,
           .unit = "mm",
           .meaning = "the same through a guide tube, in which the filament has slack",
           .source = "common practice: 3 to 7 mm"},
          {.key = "gap_mm",
           .built_in = 2,
           .unit = "mm",
           .meaning = "less open air than this on the way from one bead to the next is no crossing",
           .source = "common practice: over 1 to 2 mm nobody pulls back"},
          {.key = "lone_gap_mm",
           .built_in = 5,
           .unit = "mm",
           .meaning = "a crossing that is the only one of its layer and shorter than this is left out",
           .source = "common practice: one hair a layer, inside a narrow gap, is not looked for"},
          {.key = "note_crossings",
           .built_in = 10,
           .unit = "crossings",
           .meaning = "so many, with so much open air as note_mm, are worth knowing",
           .source = "common practice"},
          {.key = "note_mm",
           .built_in = 50,
           .unit = "mm",
           .meaning = "so much open air, in so many crossings as note_crossings, is worth knowing",
           .source = "common practice"},
          {.key = "warning_crossings",
           .built_in = 25,
           .unit = "crossings",
           .meaning = "so many, with so much open air as warning_mm, are likely to show",
           .source = "common practice"},
          {.key = "warning_mm",
           .built_in = 200,
           .unit = "mm",
           .meaning = "so much open air, in so many crossings as warning_crossings, is likely to show",
           .source = "common practice"},
          {.key = "detail_mm",
           .built_in = 40,
           .unit = "mm",
           .meaning = "an island of beads no longer than this together is a small detail, where strings show first",
           .source = "common practice: two turns around a letter or a pin"}}};
  return description;
}

namespace {

// Ways are told to a micrometre: equal ones stay in the order of the file, however their numbers are written.
constexpr double per_micrometre = 1000;

// Shorter gaps between beads are no open air: strokes of fill lie apart, too.
constexpr double shortest_open_mm = 1;
// No bead is wider than the face of its nozzle: common practice.
constexpr double widest_nozzles = 5;

/// What the beads say of how E is read.
struct Laid {
  std::uint64_t beads = 0;
  std::uint64_t worn = 0;  ///< that lay nothing new: steps of E read as a running total go back and forth
  std::uint64_t wide = 0;  ///< wider than any nozzle lays: a running total read as steps

  void add(const Bead& bead, double widest_mm) {
    ++beads;
    if (!(bead.area_mm2 > 0)) ++worn;
    if (bead.width_mm > widest_mm) ++wide;
  }
  bool is_misread() const { return 2 * worn > beads || 2 * wide > beads; }
};

class OpenTravel final : public Check {
 public:
  explicit OpenTravel(const CheckContext& context)
      : context_(context),
        gap_mm_(context.limit("gap_mm").value),
        lone_gap_mm_(context.limit("lone_gap_mm").value),
        detail_mm_(context.limit("detail_mm").value) {
    widest_mm_ = widest_nozzles * nozzle_mm_of(context.profile.machine);
    enough_ = context.limit(is_bowden(context.profile.machine) ? "bowden_mm" : "direct_mm");
  }

  void on_moves(const MoveBatch& batch, Findings&) override {
    for (const Event& event : batch.events)
      if (event.kind == EventKind::firmware_retraction) by_machine_mm_ = event.value;
  }

  void on_stack(const LayerStack& stack, Findings&) override {
    const IndexedLayer& layer = stack.layer;
    crossed_.clear();
    for (const Bead& bead : layer.layer.beads) laid_.add(bead, widest_mm_);
    for_each_passage(layer, [&](const Passage& passage) {
      if (is_pulled_back(passage) || !is_looked_at(layer, passage)) return;
      judge(layer, passage);
    });
    if (crossed_.size() == 1 && crossed_.front().open_mm < lone_gap_mm_) return;
    for (const Crossing& crossing : crossed_) take(crossing);
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    switched_ = job.extruder_switched;
    if (skipped()) return;
    const bool few = static_cast<double>(places_.count()) < context_.limit("note_crossings").value;
    if (places_.empty() || few || open_mm_ < context_.limit("note_mm").value) return;
    findings.add(finding());
  }

  std::optional<std::string> skipped() const override {
    if (switched_) return "the file switches its extruder by M101 and M103, so the machine pulls back as it likes";
    if (laid_.is_misread()) return "E is read in the wrong mode (implausible-bead says more)";
    const Setting<EUnit>& unit = context_.profile.machine.e_unit;
    if (unit.known() && *unit == EUnit::neither)
      return "E has no plausible reading, so nobody knows how much is pulled back";
    return std::nullopt;
  }

 private:
  /// The way from one bead to the next through open air, under pressure.
  struct Crossing {
    Place place;
    Mark mark;
    double open_mm = 0;
    double open_s = 0;
    double owed_mm = 0;
    double nozzle_c = 0;
    bool at_detail = false;
  };

  bool is_pulled_back(const Travel& travel) const {
    if (travel.pulled_by_machine) return !(by_machine_mm_ > 0) || by_machine_mm_ >= enough_.value;
    // What is pulled back along the way takes the pressure off meanwhile.
    return travel.owed_mm - std::min(travel.filament_mm, 0.0) >= enough_.value - rounding_mm;
  }

  bool is_pulled_back(const Passage& passage) {
    bool all = true;
    double owed_mm = 0;
    for (const Travel& travel : passage.travels) {
      all = all && is_pulled_back(travel);
      owed_mm = std::max(owed_mm, travel.owed_mm);
    }
    if (owed_mm >= enough_.value) pulled_mm_.add(owed_mm, 1);
    return all;
  }

  static bool is_looked_at(const IndexedLayer& layer, const Passage& passage);
  void judge(const IndexedLayer& layer, const Passage& passage);
  static bool is_inside(const IndexedLayer& layer, const OpenPart& part);
  void take(const Crossing& crossing);
  Finding finding() const;
  std::string what() const;
  std::string temperature() const;
  std::string remedy() const;

  static constexpr double rounding_mm = 1e-6;

  CheckContext context_;
  double gap_mm_;
  double lone_gap_mm_;
  double detail_mm_;
  Limit enough_;
  double widest_mm_ = 0;
  Laid laid_;
  double by_machine_mm_ = 0;  ///< 0: unknown
  TravelCover cover_;
  std::vector<Crossing> crossed_;  ///< in the layer at hand
  // Of the job.
  Places places_;
  std::vector<Mark> marks_;
  TypicalValue pulled_mm_;  ///< where it is enough
  double open_mm_ = 0;
  double open_s_ = 0;
  double longest_mm_ = 0;
  double most_owed_mm_ = 0;
  double hottest_c_ = std::numeric_limits<double>::quiet_NaN();
  std::uint64_t at_details_ = 0;
  bool switched_ = false;
};

bool OpenTravel::is_looked_at(const IndexedLayer& layer, const Passage& passage) {
  // The way to the next layer ends over this one; elsewhere the head is parked, or the job is at its end.
  if (!passage.goal_bead) return false;
  const BeadRole start = layer.roles[passage.last_bead];
  const BeadRole goal = layer.roles[*passage.goal_bead];
  // Strings to skirts, prime lines, purge blocks and rafts do not matter: nobody keeps those.
  return !is_around_part(start) && !is_around_part(goal) && !(is_support(start) && is_support(goal));
}

/// Only a wall borders on the open: between two strokes of fill or of support of the same island there is no way out.
bool OpenTravel::is_inside(const IndexedLayer& layer, const OpenPart& part) {
  if (!part.bead_before || !part.bead_after) return false;
  if (layer.island_of[*part.bead_before] != layer.island_of[*part.bead_after]) return false;
  const auto is_wall = [&](std::uint32_t bead) {
    return layer.roles[bead] == BeadRole::outer_perimeter || layer.roles[bead] == BeadRole::perimeter;
  };
  return !is_wall(*part.bead_before) || !is_wall(*part.bead_after);
}

void OpenTravel::judge(const IndexedLayer& layer, const Passage& passage) {
  Crossing crossing;
  for (const Travel& travel : passage.travels) {
    if (is_pulled_back(travel)) continue;
    const double length_mm = plane_mm(travel);
    for (const OpenPart& part : cover_.open(layer, travel, shortest_open_mm)) {
      if (is_inside(layer, part)) continue;
      const double share = part.span.to - part.span.from;
      crossing.open_mm += share * length_mm;
      crossing.open_s += share * static_cast<double>(travel.duration_s);
      crossing.owed_mm = std::max(crossing.owed_mm, travel.owed_mm);
    }
  }
  if (crossing.open_mm < gap_mm_) return;
  const Travel& first = passage.travels.front();
  crossing.place = {.line = first.line,
                    .layer = layer.layer.number,
                    .x_mm = first.from_mm.x,
                    .y_mm = first.from_mm.y,
                    .z_mm = first.from_mm.z,
                    .has_position = true,
                    .value = std::round(crossing.open_mm * per_micrometre) / per_micrometre};
  crossing.mark = mark_of(passage, layer.layer, crossing.open_mm);
  crossing.nozzle_c = static_cast<double>(layer.layer.beads[passage.last_bead].nozzle_c);
  const auto is_detail = [&](std::uint32_t island) { return layer.islands[island].length_mm <= detail_mm_; };
  crossing.at_detail = is_detail(passage.start_island) || is_detail(*passage.goal_island);
  crossed_.push_back(crossing);
}

void OpenTravel::take(const Crossing& crossing) {
  places_.add(crossing.place);
  keep_mark(marks_, crossing.mark);
  open_mm_ += crossing.open_mm;
  open_s_ += crossing.open_s;
  longest_mm_ = std::max(longest_mm_, crossing.open_mm);
  most_owed_mm_ = std::max(most_owed_mm_, crossing.owed_mm);
  if (crossing.at_detail) ++at_details_;
  if (crossing.nozzle_c > 0) hottest_c_ = std::fmax(hottest_c_, crossing.nozzle_c);
}

Finding OpenTravel::finding() const {
  const Limit crossings = context_.limit("warning_crossings");
  const Limit open = context_.limit("warning_mm");
  const bool many = static_cast<double>(places_.count()) >= crossings.value && open_mm_ >= open.value;
  Finding finding;
  finding.check = context_.name;
  finding.severity = many ? Severity::warning : Severity::note;
  finding.symptoms = {Symptom::stringing};
  finding.what = what();
  finding.why =
      "Melt under pressure goes on flowing. What leaves the nozzle in the open is drawn out to a thread from wall to "
      "wall, and is missing where the next bead begins.";
  finding.remedy = remedy();
  finding.key = "open air";
  finding.measured = Measured{.value = open_mm_, .limit = open.value, .unit = "mm", .limit_from = open.from};
  finding.places = places_;
  finding.marks = marks_;
  return finding;
}

std::string OpenTravel::what() const {
  std::string text =
      fmt::format("In {}, {} through open air while {}: {} mm in {} s, the longest {} mm.", layers_of(places_),
                  counted(places_.count(), "travel passes", "travels pass"),
                  most_owed_mm_ > rounding_mm
                      ? fmt::format("the filament is pulled back by no more than {} mm", figure(most_owed_mm_, 2))
                      : std::string("the filament is not pulled back"),
                  figure(open_mm_), figure(open_s_, 1), figure(longest_mm_, 1));
  if (at_details_ > 0)
    text += fmt::format(" {} of them {} to small details, where strings show first.", at_details_,
                        at_details_ == 1 ? "goes from or" : "go from or");
  return text + temperature();
}

/// Where the set point stands in the material's range; empty where the file sets none.
std::string OpenTravel::temperature() const {
  if (!std::isfinite(hottest_c_)) return "";
  const FilamentProfile& filament = context_.profile.filament;
  const std::optional<Range> range = nozzle_range(filament);
  if (!range)
    return fmt::format(
        " The nozzle is at {} °C; state the material to learn where that stands in its range, such as --set "
        "filament.material=pla.",
        figure(hottest_c_));
  const double share = (hottest_c_ - range->low) / (range->high - range->low);
  constexpr double third = 1.0 / 3;
  const char* place = share > 1           ? "above"
                      : share > 2 * third ? "in the upper third of"
                      : share > third     ? "in the middle of"
                      : share >= 0        ? "in the lower third of"
                                          : "below";
  const bool stated = filament.nozzle_c.stated() || filament.material.stated();
  return fmt::format(" The nozzle is at {} °C, {} the {} to {} °C of {}{}; the hotter, the more it strings.",
                     figure(hottest_c_), place, figure(range->low), figure(range->high),
                     filament.material.value.value_or("the filament"), stated ? "" : " (a guess)");
}

std::string OpenTravel::remedy() const {
  std::string text = pull_back_remedy(context_.profile.machine, pulled_mm_);
  text +=
      " Where hardly any filament is laid from one to the next, let travels stay inside the outline instead: pulling "
      "one "
      "stretch back again and again wears it out.";
  const std::optional<Range> range = nozzle_range(context_.profile.filament);
  if (range && hottest_c_ > middle_c(*range))
    text += fmt::format(" {} °C, the middle of the range, would string less than {} °C.", figure(middle_c(*range)),
                        figure(hottest_c_));
  if (at_details_ > 0) text += " A lift of 0.2 mm at the small details parts the thread from them.";
  return text;
}

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<OpenTravel>(context); }

}  // namespace beadwise::checks::open_travel
