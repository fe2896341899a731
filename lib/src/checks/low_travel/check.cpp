#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/lift_to_try.hpp"
#include "checks/support/passage.hpp"
#include "checks/support/towers.hpp"
#include "checks/support/travel_cover.hpp"
#include "checks/support/wording.hpp"
#include "model/layer_stack.hpp"
#include "model/role_kinds.hpp"

namespace beadwise::checks::low_travel {

const Description& describe() {
  static const Description description{
      .needs = Needs::stack,
      .severities = {Severity::note, Severity::warning},
      .symptoms = {Symptom::scarring, Symptom::knocked_loose},
      .thresholds = {
          {.key = "min_lift_mm",
           .built_in = 0.1,
           .unit = "mm",
           .meaning =
               "a travel that is lifted less passes in contact; unless stated, half a layer height where that is "
               "more",
           .source = "common practice: enough to clear a bead that is a little over-filled"},
          {.key = "tower_mm",
           .built_in = 8,
           .unit = "mm",
           .meaning = "an island no larger than this, with its beads, is a small feature",
           .source = "common practice: pins, pegs, letters"},
          {.key = "tower_height_mm",
           .built_in = 1,
           .unit = "mm",
           .meaning = "a small feature that stands lower over its foot does not bend",
           .source = "common practice: several layers"},
          {.key = "push_n",
           .built_in = 5,
           .unit = "N",
           .meaning = "a feature that gives way to this push at its top is slender",
           .source = "common practice: what a nozzle brings up before it slides over a caught edge; a belt-driven head "
                     "can push harder"},
          {.key = "bond_mpa",
           .built_in = 20,
           .unit = "MPa",
           .meaning = "bending stress that a fresh feature bears across its layers",
           .source = "a little over half of the 33.75 MPa measured on PLA across layers (3D Print. Addit. Manuf., doi "
                     "10.1089/3dp.2020.0109)"},
          {.key = "plate_mpa",
           .built_in = 2,
           .unit = "MPa",
           .meaning = "stress at which a foot lifts off the plate",
           .source = "common practice: a few MPa where the plate is clean and warm"},
          {.key = "tower_hits",
           .built_in = 10,
           .unit = "travels",
           .meaning = "so many through slender features are likely to knock one loose; fewer are worth knowing",
           .source = "common practice"},
          {.key = "scar_mm",
           .built_in = 20,
           .unit = "mm",
           .meaning = "so much finished top passed in contact in one layer, half of it or more by one travel, is "
                      "likely to show",
           .source = "common practice: one stroke across a small part"},
          {.key = "note_scar_mm",
           .built_in = 10,
           .unit = "mm",
           .meaning = "so much in the whole job is worth knowing",
           .source = "common practice"},
          {.key = "note_island_mm",
           .built_in = 100,
           .unit = "mm",
           .meaning = "so much of islands that travels neither leave nor go to is worth knowing",
           .source = "common practice"},
          {.key = "note_walls",
           .built_in = 1000,
           .unit = "crossings",
           .meaning = "so many of outer walls are worth knowing",
           .source = "common practice"},
          {.key = "note_covered_mm",
           .built_in = 5000,
           .unit = "mm",
           .meaning = "so much passed in contact over what will be covered is worth knowing",
           .source = "common practice: nobody sees it, but over-filled beads are heard and felt"}}};
  return description;
}

namespace {

// Shorter pieces of a finished top are the ledge of a slope, or the edge beside the bead that is laid next.
constexpr double shortest_scar_mm = 3;
// A part of a travel longer than so many bead widths runs along the bead, which it irons, instead of across.
constexpr double along_widths = 3;
// Beads that lie over a place later smooth it: one whose middle line is this near, over another bead, is no neighbour.
constexpr double smoothed_within_mm = 0.15;
// Finite figures for what bears nothing at all.
constexpr double least_push_n = 0.01;
// Lower than this share of a layer height under the layer, a travel no longer drags but drives into what is printed.
constexpr double deepest_drag_heights = 0.5;

/// What a travel in contact passes over, the worst first.
enum class Over : std::uint8_t { slender, top, island, outline, covered };
constexpr std::size_t kinds = 5;

/// Passages over one kind of thing.
struct Sum {
  std::uint64_t travels = 0;
  double mm = 0;
  double longest_mm = 0;

  void add(double more_mm) {
    ++travels;
    mm += more_mm;
    longest_mm = std::max(longest_mm, more_mm);
  }
};

/// The same of the whole job, and the worst of its layers.
struct Found {
  Places places;
  std::vector<Mark> marks;
  Sum all;
  std::uint32_t longest_layer = 0;  ///< where the longest is
  Sum worst;
  std::uint32_t worst_layer = 0;
  std::uint64_t crossings = 0;  ///< of outer walls
  std::uint64_t oozing = 0;     ///< passages while no filament was pulled back
};

class LowTravel final : public Check {
 public:
  explicit LowTravel(const CheckContext& context)
      : context_(context),
        min_lift_(context.limit("min_lift_mm")),
        tower_height_mm_(context.limit("tower_height_mm").value),
        push_n_(context.limit("push_n").value),
        bond_mpa_(context.limit("bond_mpa").value),
        plate_mpa_(context.limit("plate_mpa").value),
        towers_(context.limit("tower_mm").value) {}

  void on_stack(const LayerStack& stack, Findings&) override {
    towers_.on_stack(stack);
    layer_ = {};
    for_each_passage(stack.layer, [&](const Passage& passage) { judge(stack, passage); });
    for (std::size_t kind = 0; kind < kinds; ++kind) {
      if (layer_[kind].mm <= found_[kind].worst.mm) continue;
      found_[kind].worst = layer_[kind];
      found_[kind].worst_layer = stack.layer.layer.number;
    }
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    switched_ = job.extruder_switched;
    if (switched_) return;
    add_slender(findings);
    add_top(findings);
    add_islands(findings);
    add_outlines(findings);
    add_covered(findings);
  }

  std::optional<std::string> skipped() const override {
    if (!switched_) return std::nullopt;
    return "the file switches its extruder by M101 and M103, so a motion without E may lay material";
  }

 private:
  double ceiling_mm(const Layer& layer) const {
    if (min_lift_.from != Origin::built_in) return layer.z_mm + min_lift_.value;
    return layer.z_mm + std::max(min_lift_.value, layer.height_mm / 2);
  }

  void judge(const LayerStack& stack, const Passage& passage);
  void take(Over over, const Layer& layer, const Passage& passage, bool oozing);
  void judge_part(const LayerStack& stack, const Passage& passage, const Travel& travel, const Covered& part);
  void end_scar();
  void add(Over over, Span span, double length_mm);
  bool is_slender(const LayerStack& stack, std::uint32_t island);
  static bool is_scarred(const LayerStack& stack, const Passage& passage, const Travel& travel, const Covered& part);
  double lift_mm() const;
  void add_slender(Findings& findings) const;
  void add_top(Findings& findings) const;
  void add_islands(Findings& findings) const;
  void add_outlines(Findings& findings) const;
  void add_covered(Findings& findings) const;
  Finding finding(Over over, Severity severity) const;
  const Found& found(Over over) const { return found_[static_cast<std::size_t>(over)]; }
  double& mm(Over over) { return mm_[static_cast<std::size_t>(over)]; }

  CheckContext context_;
  Limit min_lift_;
  double tower_height_mm_;
  double push_n_;
  double bond_mpa_;
  double plate_mpa_;
  Towers towers_;
  TravelCover cover_;
  std::array<Found, kinds> found_;
  bool switched_ = false;
  double highest_layer_mm_ = 0;                                 ///< of the layers found
  Yield weakest_{std::numeric_limits<double>::infinity(), {}};  ///< the feature that gives way the soonest
  double weakest_above_mm_ = 0;                                 ///< how high it stands over where it bends
  std::array<Sum, kinds> layer_;                                ///< of the layer at hand
  // Of the passage at hand.
  std::array<double, kinds> mm_{};
  std::uint64_t walls_ = 0;
  double hit_n_ = 0;                     ///< what the weakest slender feature in its way bears
  std::array<double, kinds> reached_{};  ///< share of the travel that is counted already
  double scar_mm_ = 0;                   ///< of the run at hand
  double scar_end_ = 0;                  ///< share of the travel where it ends
};

void LowTravel::judge(const LayerStack& stack, const Passage& passage) {
  const Layer& layer = stack.layer.layer;
  const double ceiling = ceiling_mm(layer);
  const double floor = layer.z_mm - deepest_drag_heights * layer.height_mm;
  mm_ = {};
  walls_ = 0;
  hit_n_ = std::numeric_limits<double>::infinity();
  bool oozing = false;
  for (const Travel& travel : passage.travels) {
    const auto low = part_between(travel, floor, ceiling);
    if (!low || stays_near_ends(passage, travel)) continue;
    reached_ = {};
    scar_mm_ = 0;
    scar_end_ = 0;
    const double before_mm = mm(Over::top);
    for (const Covered& part : cover_.laid(stack.layer, passage, travel, *low))
      judge_part(stack, passage, travel, part);
    end_scar();
    oozing = oozing || (mm(Over::top) > before_mm && !(travel.owed_mm > 0) && !travel.pulled_by_machine);
  }
  for (std::size_t kind = 0; kind < kinds; ++kind)
    if (mm_[kind] > 0) take(static_cast<Over>(kind), layer, passage, oozing);
}

void LowTravel::take(Over over, const Layer& layer, const Passage& passage, bool oozing) {
  const Travel& first = passage.travels.front();
  const auto kind = static_cast<std::size_t>(over);
  const double mm = mm_[kind];
  Found& found = found_[kind];
  Place place{.line = first.line,
              .layer = layer.number,
              .x_mm = first.from_mm.x,
              .y_mm = first.from_mm.y,
              .z_mm = layer.z_mm,
              .has_position = true,
              .value = mm};
  if (over == Over::slender) place.value = push_n_ / std::max(hit_n_, least_push_n);
  if (over == Over::outline) place.value = static_cast<double>(walls_);
  found.places.add(place);
  if (over <= Over::island) keep_mark(found.marks, mark_of(passage, layer, place.value));
  if (mm > found.all.longest_mm) found.longest_layer = layer.number;
  found.all.add(mm);
  found.crossings += walls_;
  if (oozing) ++found.oozing;
  layer_[kind].add(mm);
  highest_layer_mm_ = std::max(highest_layer_mm_, layer.height_mm);
}

void LowTravel::judge_part(const LayerStack& stack, const Passage& passage, const Travel& travel, const Covered& part) {
  const BeadRole role = stack.layer.roles[part.bead];
  if (is_around_part(role)) return;
  const double length_mm = plane_mm(travel);
  const double width_mm = width_mm_of(stack.layer.layer.beads[part.bead]);
  const bool along = (part.span.to - part.span.from) * length_mm > along_widths * width_mm;
  const std::uint32_t island = stack.layer.island_of[part.bead];
  const bool foreign = island != passage.start_island && island != passage.goal_island;
  if (foreign && is_slender(stack, island)) {
    add(Over::slender, part.span, length_mm);
  } else if (!along && is_scarred(stack, passage, travel, part)) {
    if ((part.span.from - scar_end_) * length_mm > width_mm) end_scar();
    const double from = std::max(part.span.from, scar_mm_ > 0 ? scar_end_ : 0.0);
    scar_mm_ += std::max(0.0, part.span.to - from) * length_mm;
    scar_end_ = std::max(scar_end_, part.span.to);
  } else if (foreign) {
    add(Over::island, part.span, length_mm);
  } else {
    const bool wall = role == BeadRole::outer_perimeter && !along;
    if (wall && part.span.from >= reached_[static_cast<std::size_t>(Over::outline)]) ++walls_;
    add(wall ? Over::outline : Over::covered, part.span, length_mm);
  }
}

void LowTravel::add(Over over, Span span, double length_mm) {
  double& reached = reached_[static_cast<std::size_t>(over)];
  mm(over) += std::max(0.0, span.to - std::max(span.from, reached)) * length_mm;
  reached = std::max(reached, span.to);
}

void LowTravel::end_scar() {
  if (scar_mm_ >= shortest_scar_mm) mm(Over::top) += scar_mm_;
  scar_mm_ = 0;
}

bool LowTravel::is_slender(const LayerStack& stack, std::uint32_t island) {
  const Tower& tower = towers_.of_island(island);
  const double top_mm = stack.layer.layer.z_mm;
  if (!tower.small || top_mm - tower.foot.z_mm < tower_height_mm_) return false;
  const Yield yield = tower.yields(top_mm, bond_mpa_, plate_mpa_);
  if (yield.push_n > push_n_) return false;
  hit_n_ = std::min(hit_n_, yield.push_n);
  if (yield.push_n < weakest_.push_n) {
    weakest_ = yield;
    weakest_above_mm_ = top_mm - yield.section.z_mm;
  }
  return true;
}

/// Whether a part passes over what stays visible: nothing hides it, and no bead of this layer smooths it later.
bool LowTravel::is_scarred(const LayerStack& stack, const Passage& passage, const Travel& travel, const Covered& part) {
  const BeadRole role = stack.layer.roles[part.bead];
  if (is_support(role)) return false;
  const double middle = (part.span.from + part.span.to) / 2;
  const PlanePoint place{travel.from_mm.x + middle * (travel.to_mm.x - travel.from_mm.x),
                         travel.from_mm.y + middle * (travel.to_mm.y - travel.from_mm.y)};
  if (stack.hidden(place)) return false;
  bool smoothed = false;
  stack.layer.index.near(place, place, smoothed_within_mm, [&](const Footprint& footprint) {
    smoothed = smoothed ||
               (footprint.bead > passage.last_bead && squared_distance_mm2(place, footprint.from(), footprint.to()) <
                                                          smoothed_within_mm * smoothed_within_mm);
  });
  return !smoothed;
}

double LowTravel::lift_mm() const { return lift_to_try_mm(std::max(min_lift_.value, highest_layer_mm_)); }

Finding LowTravel::finding(Over over, Severity severity) const {
  Finding finding;
  finding.check = context_.name;
  finding.severity = severity;
  finding.places = found(over).places;
  finding.marks = found(over).marks;
  return finding;
}

void LowTravel::add_slender(Findings& findings) const {
  const Found& slender = found(Over::slender);
  if (slender.places.empty()) return;
  const Limit limit = context_.limit("tower_hits");
  const auto hits = static_cast<double>(slender.places.count());
  Finding finding = this->finding(Over::slender, hits >= limit.value ? Severity::warning : Severity::note);
  finding.symptoms = {Symptom::knocked_loose};
  finding.what = fmt::format(
      "In {}, {} in contact through slender features that they neither leave nor go to. The weakest stands {} mm "
      "above a section {} mm thick and gives way there to a push of {} N.",
      layers_of(slender.places), counted(slender.places.count(), "travel passes", "travels pass"),
      figure(weakest_above_mm_, 1), figure(weakest_.section.thickness_mm, 1), figure(weakest_.push_n, 1));
  finding.why =
      "Each passage pushes the feature sideways. Where a bead curls up or is a little over-filled, the nozzle catches "
      "it, and the feature bends out of place, breaks off or comes loose from the plate.";
  finding.remedy = fmt::format(
      "Lift the nozzle by {} mm on travels from {} on. Or let travels go around what is printed, and print small "
      "features in the order in which they stand.",
      figure(lift_mm(), 1), layers_between(slender.places.first_layer(), slender.places.first_layer()));
  finding.key = "slender features";
  finding.measured = Measured{.value = push_n_ / std::max(weakest_.push_n, least_push_n),
                              .limit = 1,
                              .unit = "times its strength",
                              .limit_from = context_.limit("push_n").from};
  findings.add(std::move(finding));
}

void LowTravel::add_top(Findings& findings) const {
  const Found& top = found(Over::top);
  const Limit limit = context_.limit("scar_mm");
  const bool shows = top.worst.mm >= limit.value && top.worst.longest_mm >= limit.value / 2;
  if (top.places.empty() || (!shows && top.all.mm < context_.limit("note_scar_mm").value)) return;
  Finding finding = this->finding(Over::top, shows ? Severity::warning : Severity::note);
  finding.symptoms = {Symptom::scarring};
  finding.what =
      fmt::format("In layer {}, {} in contact over {} mm of finished top, which nothing covers.", top.worst_layer,
                  counted(top.worst.travels, "travel passes", "travels pass"), figure(top.worst.mm));
  if (top.places.count() > top.worst.travels)
    finding.what += fmt::format(" In {} there are {} such travels over {} mm together.", layers_of(top.places),
                                top.places.count(), figure(top.all.mm));
  if (top.places.count() > 1)
    finding.what +=
        fmt::format(" The longest passes over {} mm in layer {}.", figure(top.all.longest_mm, 1), top.longest_layer);
  if (top.oozing > 0)
    finding.what += top.places.count() == 1 ? std::string(" Meanwhile no filament is pulled back.")
                                            : fmt::format(" During {} of them no filament is pulled back.", top.oozing);
  finding.why =
      "The hot nozzle rubs across what will be seen and melts a furrow into it; what oozes meanwhile stays as a line.";
  finding.remedy = fmt::format(
      "Lift the nozzle by {} mm on travels over finished tops (a lift there alone costs little time), or let travels "
      "go around them.",
      figure(lift_mm(), 1));
  if (top.oozing > 0) finding.remedy += " Pull the filament back before them.";
  finding.key = "finished top";
  finding.measured = Measured{.value = top.worst.mm, .limit = limit.value, .unit = "mm", .limit_from = limit.from};
  findings.add(std::move(finding));
}

void LowTravel::add_islands(Findings& findings) const {
  const Found& islands = found(Over::island);
  const Limit limit = context_.limit("note_island_mm");
  if (islands.places.empty() || islands.all.mm < limit.value) return;
  Finding finding = this->finding(Over::island, Severity::note);
  finding.symptoms = {Symptom::knocked_loose, Symptom::scarring};
  finding.what = fmt::format(
      "In {}, {} in contact over other islands than those that they leave and go to, {} mm together; the longest over "
      "{} mm in layer {}.",
      layers_of(islands.places), counted(islands.places.count(), "travel passes", "travels pass"),
      figure(islands.all.mm), figure(islands.all.longest_mm, 1), islands.longest_layer);
  finding.why =
      "They bear it, and what is passed over will be covered. But where an edge curls up or a bead is over-filled, the "
      "nozzle catches it.";
  finding.remedy = fmt::format(
      "If you hear the nozzle scrape, lift it by {} mm on travels to another island, or let them go around what is "
      "printed.",
      figure(lift_mm(), 1));
  finding.key = "other islands";
  finding.measured = Measured{.value = islands.all.mm, .limit = limit.value, .unit = "mm", .limit_from = limit.from};
  findings.add(std::move(finding));
}

void LowTravel::add_outlines(Findings& findings) const {
  const Found& outlines = found(Over::outline);
  const Limit limit = context_.limit("note_walls");
  const auto crossings = static_cast<double>(outlines.crossings);
  if (outlines.places.empty() || crossings < limit.value) return;
  Finding finding = this->finding(Over::outline, Severity::note);
  finding.symptoms = {Symptom::scarring};
  finding.what =
      fmt::format("In {}, {} in contact across outer walls, away from where they start and end.",
                  layers_of(outlines.places), counted(outlines.places.count(), "travel passes", "travels pass"));
  finding.why = "The nozzle may pull a hair out of the wall or leave a nick in it, small but at a place that is seen.";
  finding.remedy = fmt::format(
      "Where the walls show such marks, let travels stay within the part as long as they can, or lift the nozzle by {} "
      "mm before it leaves.",
      figure(lift_mm(), 1));
  finding.key = "outer walls";
  finding.measured = Measured{.value = crossings, .limit = limit.value, .unit = "crossings", .limit_from = limit.from};
  findings.add(std::move(finding));
}

void LowTravel::add_covered(Findings& findings) const {
  const Found& covered = found(Over::covered);
  const Limit limit = context_.limit("note_covered_mm");
  if (covered.places.empty() || covered.all.mm < limit.value) return;
  Finding finding = this->finding(Over::covered, Severity::note);
  finding.symptoms = {Symptom::scarring};
  finding.what =
      fmt::format("In {}, {} in contact over {} m of what will be covered; the longest over {} mm in layer {}.",
                  layers_of(covered.places), counted(covered.places.count(), "travel passes", "travels pass"),
                  figure(covered.all.mm / 1000, 1), figure(covered.all.longest_mm), covered.longest_layer);
  finding.why =
      "Nobody will see it. But where beads are over-filled the nozzle scrapes over each of them, which can be heard, "
      "and "
      "on a light machine a step may be lost.";
  finding.remedy =
      fmt::format("Nothing, as long as the nozzle glides. If it scrapes, lower the flow by 2 to 5 %, or lift by {} mm.",
                  figure(lift_mm(), 1));
  finding.key = "covered";
  finding.measured = Measured{.value = covered.all.mm, .limit = limit.value, .unit = "mm", .limit_from = limit.from};
  findings.add(std::move(finding));
}

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<LowTravel>(context); }

}  // namespace beadwise::checks::low_travel
