#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "checks/support/wording.hpp"
#include "checks/unsupported_bead/limits.hpp"
#include "checks/unsupported_bead/spots.hpp"

namespace beadwise::checks::unsupported_bead {

/// Whether beads in the air want the fan, and how that is known.
class FanRule {
 public:
  explicit FanRule(const Setting<std::string>& material) : stated_(material.stated()) {
    if (!material.known()) return;
    std::vector<std::string> names = names_in(*material);
    // Where the set points fit others too, those are by far the commoner.
    if (names.size() > 1) names.erase(std::remove(names.begin(), names.end(), "pp"), names.end());
    applies_ = std::all_of(names.begin(), names.end(), wants_fan);
    material_ = names.front();
  }

  bool applies() const { return applies_; }
  bool is_guess() const { return !stated_; }
  const std::string& material() const { return material_; }

 private:
  // The others warp or come apart in a draught, and are printed without on purpose: common practice.
  static bool wants_fan(std::string_view name) { return name == "pla" || name == "petg" || name == "tpu"; }

  static std::vector<std::string> names_in(std::string_view joined) {
    constexpr std::string_view joint = " or ";
    std::vector<std::string> names;
    for (;;) {
      const std::size_t end = joined.find(joint);
      names.emplace_back(joined.substr(0, end));
      if (end == std::string_view::npos) return names;
      joined.remove_prefix(end + joint.size());
    }
  }

  bool stated_ = false;
  bool applies_ = false;
  std::string material_;
};

/// Overhangs are measured up to here; what hangs farther is as bad.
inline constexpr double farthest_told_mm = 10;

/// Says what was found.
class Sentences {
 public:
  Sentences(std::string_view check, const Limits& limits, const FanRule& fan, bool fan_is_set)
      : check_(check), limits_(limits), fan_(fan), fan_is_set_(fan_is_set) {}

  Finding about(const Region& region) const {
    Finding finding;
    finding.check = check_;
    finding.severity = region.worst.kind < Kind::bridge ? Severity::warning : Severity::note;
    finding.symptoms = {Symptom::sagging};
    finding.places = region.places;
    finding.marks = region.marks;
    switch (region.worst.kind) {
      case Kind::island:
        return island(std::move(finding), region);
      case Kind::long_bridge:
        return long_bridge(std::move(finding), region);
      case Kind::bare_bridge:
        return bare_bridge(std::move(finding), region);
      case Kind::fast_bridge:
        return fast_bridge(std::move(finding), region);
      case Kind::overhang:
        return overhang(std::move(finding), region);
      case Kind::bridge:
        return bridge(std::move(finding), region);
      case Kind::lean:
        return lean(std::move(finding), region);
    }
    return finding;
  }

 private:
  static std::string mm(double value) { return figure(value, value < 1 ? 2 : value < 10 ? 1 : 0); }

  static std::string where(const Region& region) {
    const Box& box = region.worst.box_mm;
    return fmt::format("at X {} to {}, Y {} to {}", figure(box.low.x, 1), figure(box.high.x, 1), figure(box.low.y, 1),
                       figure(box.high.y, 1));
  }

  static std::string carried(double share) {
    const std::string percent = figure(100 * share);
    return percent == "0" ? "nothing" : percent + " %";
  }

  static std::string rest(const Region& region, std::string_view what) {
    if (region.regions == 1) return {};
    return fmt::format(" In {} there are {} such places; this is the {}.", layers_of(region.places), region.regions,
                       what);
  }

  Measured measured(const Region& region, const Limit& limit) const {
    return {.value = region.worst.place.value, .limit = limit.value, .unit = "mm", .limit_from = limit.from};
  }

  Finding island(Finding finding, const Region& region) const {
    finding.what = fmt::format("In layer {} a region of {} mm² begins in the air, {}: {} mm of bead lie on nothing.{}",
                               region.worst.place.layer, figure(region.worst.area_mm2, 1), where(region),
                               mm(region.worst.path_mm), rest(region, "largest"));
    finding.why =
        "Nothing holds its first beads: they drop or stay at the nozzle and are dragged along, and whatever is printed "
        "on them goes with them.";
    finding.remedy =
        "Put a support under it, turn the part so that it is printed on something, or join it to the part below it.";
    finding.key = "begins in the air";
    finding.measured = measured(region, limits_.path_mm);
    return finding;
  }

  std::string span(const Region& region) const {
    const Spot& worst = region.worst;
    return fmt::format("bridge of {} mm in layer {} ({}, {}, {} mm² over nothing)", mm(worst.place.value),
                       worst.place.layer, counted(region.places.count(), "strand", "strands"), where(region),
                       figure(region.area_mm2));
  }

  static std::string pace(const Spot& spot) {
    return fmt::format("at {} mm/s with the fan at {} %", figure(spot.speed_mm_per_s), figure(100 * spot.fan_ratio));
  }

  Finding long_bridge(Finding finding, const Region& region) const {
    finding.what = fmt::format("A {} is laid {}.{}", span(region), pace(region.worst), rest(region, "longest"));
    finding.why =
        "A bead laid across a gap hangs through before it sets; so far apart that it shows, however it is cooled.";
    finding.remedy = fmt::format(
        "Put a support or a pillar under it, turn the part, or have it laid across the shorter way: up to {} mm print, "
        "at 20 to 40 mm/s with as much fan as the material bears.",
        mm(limits_.bridge_mm.value));
    finding.key = "long bridge";
    finding.measured = measured(region, limits_.bridge_mm);
    return finding;
  }

  Finding bare_bridge(Finding finding, const Region& region) const {
    finding.what = fmt::format("A {} is laid {}.{}", span(region), pace(region.worst), rest(region, "longest"));
    finding.why = fmt::format(
        "Nothing but air cools a bead laid across a gap; without the fan it hangs through before it sets. Up to {} mm "
        "print in any case.",
        mm(limits_.still_air_bridge_mm.value));
    finding.remedy =
        fmt::format("Set the fan to full speed (M106 S255) before line {}, and back after it if the rest wants less.",
                    region.places.first_line());
    if (!fan_is_set_)
      finding.remedy += " The file never sets the fan; if yours blows by itself, take this for what it is without.";
    if (fan_.is_guess())
      finding.remedy += fmt::format(
          " Nobody stated the material; its set points are those of {}. To state it: --set filament.material={}.",
          fan_.material(), fan_.material());
    finding.key = "bridge without fan";
    finding.measured = measured(region, limits_.still_air_bridge_mm);
    return finding;
  }

  Finding fast_bridge(Finding finding, const Region& region) const {
    finding.what = fmt::format("A {} is laid {}.{}", span(region), pace(region.worst), rest(region, "longest"));
    finding.why =
        "A bead laid fast across a gap has no time to set behind the nozzle: it is drawn thin, tears off or hangs "
        "through.";
    finding.remedy = fmt::format(
        "Lay it at 20 to 40 mm/s, or find out by trial how fast your fan lets you; {} mm/s is where this check begins "
        "to say so.",
        figure(limits_.bridge_speed_mm_per_s));
    finding.key = "fast bridge";
    finding.measured = measured(region, limits_.still_air_bridge_mm);
    return finding;
  }

  Finding overhang(Finding finding, const Region& region) const {
    const Spot& worst = region.worst;
    const Limit& limit = limit_of(worst);
    const bool leads_out = &limit == &limits_.lean_mm;
    const std::string out =
        leads_out ? fmt::format("layer by layer the outline leads out over nothing, by {} mm in all up to layer {}",
                                mm(worst.place.value), worst.place.layer)
                  : fmt::format("beads hang out over nothing, by {} mm{} in layer {}", mm(worst.place.value),
                                worst.place.value >= farthest_told_mm ? " or more" : "", worst.place.layer);
    finding.what =
        fmt::format("In {}, {}, {}: {} of their width is carried{}. {} mm of path in all, {} mm² in one layer.{}",
                    layers_of(region.places), out, where(region), carried(worst.share),
                    &limit == &limits_.least_share ? ", and no bead that is carried lies beside them" : "",
                    mm(region.path_mm), figure(region.area_mm2, 1), rest(region, "farthest"));
    finding.why =
        leads_out
            ? "Each layer hangs on the beads beside it, and those hang themselves: edges curl up, the nozzle runs "
              "into them, and loops hang from the lower side."
            : "With neither a bead below nor one beside that is carried, they drop: loops hang from the lower side, "
              "and the next layer finds nothing to lie on.";
    finding.remedy =
        "Put a support under it, turn the part, or let its lower side rise at 45° or less. Thinner layers, a strong "
        "fan "
        "and walls laid from the inside out help, but do not do alone.";
    finding.key = leads_out ? "leads out" : "overhang";
    finding.measured =
        Measured{.value = worst.place.value, .limit = worst.allowed_mm, .unit = "mm", .limit_from = limit.from};
    return finding;
  }

  const Limit& limit_of(const Spot& overhang) const {
    if (overhang.allowed_mm == limits_.lean_mm.value) return limits_.lean_mm;
    return overhang.allowed_mm == limits_.overhang_mm.value ? limits_.overhang_mm : limits_.least_share;
  }

  Finding bridge(Finding finding, const Region& region) const {
    const Spot& worst = region.worst;
    finding.what = fmt::format("A {} is laid {}.{}", span(region), pace(worst), rest(region, "longest"));
    finding.why = "A bead laid across a gap hangs through until it sets; of this length little.";
    finding.remedy = worst.speed_mm_per_s > limits_.bridge_speed_mm_per_s
                         ? "Nothing, if it is inside or nobody looks at it; else lay it at 20 to 40 mm/s."
                         : "Nothing, as long as it is laid slowly and cooled as well as the material bears.";
    finding.key = "bridge";
    finding.measured = measured(region, limits_.bridge_mm);
    return finding;
  }

  Finding lean(Finding finding, const Region& region) const {
    const Spot& worst = region.worst;
    finding.what = fmt::format(
        "In {}, {} mm of outline lean out so far that less than {} % of the beads' width is carried. Most in layer {}, "
        "{}: {} mm hang out, and {} of the width is carried.",
        layers_of(region.places), mm(region.path_mm), figure(100 * limits_.note_share.value), worst.place.layer,
        where(region), figure(worst.place.value, 2), carried(worst.share));
    finding.why = "The outer edge of such beads curls up while it cools, and their lower side turns rough.";
    finding.remedy =
        "Nothing, if nobody looks at the lower side. Else thinner layers, slower outlines, more fan as far as the "
        "material bears it, or a slope of 45° or less.";
    finding.key = "leans out";
    finding.measured = Measured{
        .value = worst.place.value, .limit = worst.allowed_mm, .unit = "mm", .limit_from = limits_.note_share.from};
    return finding;
  }

  std::string check_;
  const Limits& limits_;
  const FanRule& fan_;
  bool fan_is_set_;
};

}  // namespace beadwise::checks::unsupported_bead
