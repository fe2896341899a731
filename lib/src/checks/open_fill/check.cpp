#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "beadwise/check.hpp"
#include "checks/support/wording.hpp"
#include "model/bead_geometry.hpp"
#include "model/fill_meter.hpp"

namespace beadwise::checks::open_fill {

const Description& describe() {
  static const Description description{
      .needs = Needs::stack,
      .severities = {Severity::warning},
      .symptoms = {Symptom::rough_first_layer, Symptom::rough_top, Symptom::weak_layers},
      .thresholds = {
          {.key = "uncovered_ratio",
           .built_in = 0.03,
           .unit = "ratio",
           .meaning = "more of a solid region left open shows",
           .source = "common practice: lines laid to touch, fed a little too little or a little too far apart, stay "
                     "below it"},
          {.key = "slit_widths",
           .built_in = 0.3,
           .unit = "bead widths",
           .meaning = "a wider slit between two beads shows by itself",
           .source = "common practice: one sees it and feels it"},
          {.key = "slit_mm",
           .built_in = 10,
           .unit = "mm",
           .meaning = "a slit no longer than this passes",
           .source = "common practice: corners and the ends of lines leave short ones"},
          {.key = "region_mm2",
           .built_in = 25,
           .unit = "mm²",
           .meaning = "an island's fill smaller than this is all ends and turns",
           .source = "common practice: a square of twelve lines"},
          {.key = "weak_ratio",
           .built_in = 0.1,
           .unit = "ratio",
           .meaning = "a region open by more than this holds together badly, too",
           .source = "common practice: a little is carried by the layers above and below"}}};
  return description;
}

namespace {

/// Of a region that is open, what the sentences need.
struct OpenRegion {
  Place place;
  double open_ratio = 0;
  double area_mm2 = 0;
  bool at_rim = false;  ///< most of it between fill and perimeters
  double rim_gap_mm = 0;
  double pitch_mm = 0;
  double width_mm = 0;
  double height_mm = 0;
  double section_mm2 = 0;

  /// Beads of this section fill all there is between two lines: A = pitch × height.
  double flow_ratio() const { return pitch_mm * height_mm / section_mm2; }
  /// The distance at which beads as wide as these do the same, w − h (1 − π/4) = A / h.
  double full_pitch_mm() const { return section_mm2 / height_mm; }
  double full_width_mm() const { return bead_width_mm(pitch_mm * height_mm, height_mm); }
};

/// The first layer, or the tops.
struct Surface {
  Places regions;  ///< value: open share
  std::optional<OpenRegion> worst_region;
  Places slits;  ///< value: length, mm
  std::optional<FillSlit> longest_slit;
};

double percent(double ratio) { return 100 * ratio; }

OpenRegion open_region(const IndexedLayer& layer, const FillRegion& region) {
  const Bead& bead = layer.layer.beads[region.first_bead];
  OpenRegion open;
  open.open_ratio = region.open_mm2() / region.area_mm2;
  open.area_mm2 = region.area_mm2;
  open.at_rim = region.rim_mm2 > region.between_mm2;
  open.rim_gap_mm = region.rim_gap_mm > 0 ? region.rim_gap_mm2 / region.rim_gap_mm : 0;
  open.pitch_mm = region.pitch_mm > 0 ? region.pitch_mm2 / region.pitch_mm : 0;
  open.width_mm = region.width_mm2 / region.length_mm;
  open.height_mm = region.height_mm2 / region.length_mm;
  open.section_mm2 = region.laid_mm3 / region.length_mm;
  open.place = {.line = bead.line,
                .layer = layer.layer.number,
                .x_mm = bead.from_mm.x,
                .y_mm = bead.from_mm.y,
                .z_mm = bead.from_mm.z,
                .has_position = true,
                .value = open.open_ratio};
  return open;
}

class OpenFill final : public Check {
 public:
  explicit OpenFill(const CheckContext& context)
      : context_(context),
        uncovered_(context.limit("uncovered_ratio")),
        slit_mm_(context.limit("slit_mm")),
        region_mm2_(context.limit("region_mm2").value),
        weak_ratio_(context.limit("weak_ratio").value),
        meter_(context.limit("slit_widths").value, slit_mm_.value) {}

  void on_stack(const LayerStack& stack, Findings&) override {
    if (no_reading() || !meter_.measure(stack)) return;
    const IndexedLayer& layer = stack.layer;
    Surface& surface = layer.layer.on_plate ? first_layer_ : tops_;
    for (const FillRegion& region : meter_.regions()) {
      if (!is_open(region)) continue;
      const OpenRegion open = open_region(layer, region);
      surface.regions.add(open.place);
      if (!surface.worst_region || open.open_ratio > surface.worst_region->open_ratio) surface.worst_region = open;
    }
    // A region that is open altogether is one thing to act on, not one for each of its lines.
    for (const FillSlit& slit : meter_.slits())
      if (!is_open(meter_.regions()[layer.island_of[slit.bead]])) add(layer, slit, surface);
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    if (job.extruder_switched) return;
    for (const bool on_plate : {true, false}) {
      const Surface& surface = on_plate ? first_layer_ : tops_;
      if (!surface.regions.empty()) findings.add(region_finding(surface, on_plate));
      if (!surface.slits.empty()) findings.add(slit_finding(surface, on_plate));
    }
  }

  std::optional<std::string> skipped() const override {
    if (!no_reading()) return std::nullopt;
    return "E has no plausible reading, so nobody knows how wide the beads are";
  }

 private:
  bool no_reading() const {
    const Setting<EUnit>& unit = context_.profile.machine.e_unit;
    return unit.known() && *unit == EUnit::neither;
  }

  bool is_open(const FillRegion& region) const {
    // Strokes with none beside them within a bead's width are no solid fill, whatever it is called.
    constexpr double least_sides = 0.5;
    if (region.pitch_mm < least_sides * region.length_mm) return false;
    // What is commanded below the plate has no height, and no width would close it.
    if (region.height_mm2 <= 0) return false;
    return region.area_mm2 >= region_mm2_ && region.open_mm2() > uncovered_.value * region.area_mm2;
  }

  static void add(const IndexedLayer& layer, const FillSlit& slit, Surface& surface) {
    surface.slits.add({.line = layer.layer.beads[slit.bead].line,
                       .layer = layer.layer.number,
                       .x_mm = slit.at.x,
                       .y_mm = slit.at.y,
                       .z_mm = layer.layer.z_mm,
                       .has_position = true,
                       .value = slit.length_mm});
    if (!surface.longest_slit || slit.length_mm > surface.longest_slit->length_mm) surface.longest_slit = slit;
  }

  std::string where(const Places& places, bool on_plate) const {
    return on_plate ? std::string("on the plate") : fmt::format("on tops, {}", layers_of(places));
  }

  Finding region_finding(const Surface& surface, bool on_plate) const {
    const OpenRegion& worst = *surface.worst_region;
    Finding finding;
    finding.check = context_.name;
    finding.severity = Severity::warning;
    finding.symptoms = {on_plate ? Symptom::rough_first_layer : Symptom::rough_top};
    if (worst.open_ratio > weak_ratio_) finding.symptoms.push_back(Symptom::weak_layers);
    finding.what = fmt::format("{} of solid fill {}: in layer {}, from line {}, {} % of {} mm² stay open{}.",
                               counted(surface.regions.count(), "open region", "open regions"),
                               where(surface.regions, on_plate), worst.place.layer, worst.place.line,
                               figure(percent(worst.open_ratio), 1), figure(worst.area_mm2), cause(worst));
    finding.why = on_plate ? "Beads that do not touch leave grooves that one sees and feels on the bottom, hold each "
                             "other badly and let water through."
                           : "Beads that do not touch leave a top like corduroy, through which one sees the layer "
                             "below, and which lets water through.";
    finding.remedy = remedy(worst) + guesses();
    finding.key = on_plate ? "open first layer" : "open top";
    finding.measured =
        Measured{.value = worst.open_ratio, .limit = uncovered_.value, .unit = "ratio", .limit_from = uncovered_.from};
    finding.places = surface.regions;
    return finding;
  }

  static std::string cause(const OpenRegion& region) {
    if (region.at_rim)
      return fmt::format(", most of it between fill and perimeters, {} mm wide", figure(region.rim_gap_mm, 2));
    return fmt::format("; lines {} mm wide lie {} mm apart", figure(region.width_mm, 3), figure(region.pitch_mm, 3));
  }

  static std::string remedy(const OpenRegion& region) {
    if (region.at_rim)
      return fmt::format("Let the fill reach {} mm farther into the perimeters.", figure(region.rim_gap_mm, 2));
    const double more = std::ceil(percent(region.flow_ratio() - 1));
    return fmt::format(
        "Feed {} % more there, or set lines {} mm wide for what lies {} mm apart; or lay the lines as they are {} mm "
        "apart. Then they close in full.",
        figure(more), figure(region.full_width_mm(), 2), figure(region.pitch_mm, 3),
        figure(std::floor(1000 * region.full_pitch_mm()) / 1000, 3));
  }

  Finding slit_finding(const Surface& surface, bool on_plate) const {
    const FillSlit& longest = *surface.longest_slit;
    Finding finding;
    finding.check = context_.name;
    finding.severity = Severity::warning;
    finding.symptoms = {on_plate ? Symptom::rough_first_layer : Symptom::rough_top};
    finding.what =
        fmt::format("{} in solid fill {}: the longest goes on for {} mm, {} mm wide, beside lines {} mm wide.",
                    counted(surface.slits.count(), "slit", "slits"), where(surface.slits, on_plate),
                    figure(longest.length_mm), figure(longest.gap_mm, 2), figure(longest.width_mm, 2));
    finding.why =
        "The beads on both sides do not touch: one sees the slit, and nothing but the layer below holds them "
        "together there.";
    finding.remedy =
        longest.along_wall
            ? fmt::format("Let the fill reach {} mm farther into the perimeters, or have gaps of that width filled.",
                          figure(longest.gap_mm, 2))
            : fmt::format("Lay the two lines {} mm nearer, or make them that much wider together.",
                          figure(longest.gap_mm, 2));
    finding.remedy += guesses();
    finding.key = on_plate ? "slit in first layer" : "slit in top";
    finding.measured =
        Measured{.value = longest.length_mm, .limit = slit_mm_.value, .unit = "mm", .limit_from = slit_mm_.from};
    finding.places = surface.slits;
    return finding;
  }

  std::string guesses() const {
    const Setting<double>& diameter = context_.profile.machine.filament_diameter_mm;
    if (diameter.stated() || !diameter.known()) return {};
    return fmt::format(
        " The widths hold for filament of {} mm, a guess; to state it: --set machine.filament_diameter_mm={}.",
        figure(*diameter, 2), figure(*diameter, 2));
  }

  CheckContext context_;
  Limit uncovered_;
  Limit slit_mm_;
  double region_mm2_;
  double weak_ratio_;
  FillMeter meter_;
  Surface first_layer_;
  Surface tops_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<OpenFill>(context); }

}  // namespace beadwise::checks::open_fill
