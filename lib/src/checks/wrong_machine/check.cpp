#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/place_of.hpp"
#include "checks/support/wording.hpp"
#include "model/bead_geometry.hpp"
#include "model/typical_value.hpp"

namespace beadwise::checks::wrong_machine {

const Description& describe() {
  static const Description description{
      .needs = Needs::beads,
      .severities = {Severity::warning, Severity::error},
      .symptoms = {},
      .thresholds = {
          {.key = "narrow_ratio",
           .built_in = 0.7,
           .unit = "ratio",
           .meaning = "beads typically narrower than this many nozzle diameters are meant for another nozzle",
           .source = "common practice: beads are laid 0.7 to 2 nozzle diameters wide"},
          {.key = "wide_ratio",
           .built_in = 2,
           .unit = "ratio",
           .meaning = "beads typically wider than this many nozzle diameters are meant for another nozzle",
           .source = "common practice: beads are laid 0.7 to 2 nozzle diameters wide"},
          {.key = "height_ratio",
           .built_in = 0.85,
           .unit = "ratio",
           .meaning = "layers typically higher than this many nozzle diameters are meant for another nozzle",
           .source = "common practice: up to 0.75 to 0.8 nozzle diameters, or the bead is not pressed on"},
          {.key = "shape_ratio",
           .built_in = 5,
           .unit = "ratio",
           .meaning =
               "where only the filament is stated, beads typically more than this many times as wide as high, or "
               "narrower than high, are held against the other filament diameter",
           .source = "common practice: beads are 1.5 to 5 times as wide as high"},
          {.key = "flat_ratio",
           .built_in = 8,
           .unit = "ratio",
           .meaning = "beads typically more than this many times as wide as high, or narrower than high, fit no nozzle "
                      "at all and are left to implausible-bead",
           .source = "common practice: beads are 1.5 to 5 times as wide as high"},
          {.key = "over_ratio",
           .built_in = 1.02,
           .unit = "ratio",
           .meaning = "how far above a stated speed or acceleration a commanded one may lie, as a factor of it",
           .source = "common practice: figures are rounded when mm/s become mm/min"}}};
  return description;
}

namespace {

constexpr double slim_filament_mm = 1.75;
constexpr double thick_filament_mm = 2.85;
// Beads are so many times as wide as high: common practice.
constexpr Range usual_shape{1.5, 4.5};

/// One way to read E, and the bead widths that it gives.
struct Reading {
  double area_factor = 1;  ///< over the area as the profile reads E
  TypicalValue width_mm;
};

class WrongMachine final : public Check {
 public:
  explicit WrongMachine(const CheckContext& context)
      : context_(context), machine_(context.profile.machine), over_(context.limit("over_ratio").value) {
    if (!machine_.filament_diameter_mm.known()) return;
    const double diameter_mm = *machine_.filament_diameter_mm;
    const double other_mm = other_diameter_mm();
    other_filament_.area_factor = other_mm * other_mm / (diameter_mm * diameter_mm);
    const double filament_mm2 = circle_area_mm2(diameter_mm);
    other_unit_.area_factor = reads_volume() ? filament_mm2 : 1 / filament_mm2;
  }

  void on_moves(const MoveBatch& batch, Findings&) override {
    for (const Event& event : batch.events) on_event(event);
    for (const Move& move : batch.moves) {
      if (move.kind != MoveKind::bead && move.kind != MoveKind::travel) continue;
      if (exceeds(machine_.max_speed_mm_per_s, move.feedrate_mm_per_s)) {
        too_fast_.add(place_of(move, move.feedrate_mm_per_s));
      }
      if (move.kind == MoveKind::bead && is_no_tool(batch.settings_of(move).tool)) {
        missing_tool_beads_.add(place_of(move, batch.settings_of(move).tool));
      }
    }
  }

  void on_layer(const Layer& layer, Findings&) override {
    for (const Bead& bead : layer.beads) {
      if (bead.role == BeadRole::prime) continue;
      height_mm_.add(layer.height_mm, bead.path_mm);
      // Read as stated, also where that gives no plausible width.
      for (Reading* reading : {&stated_, &other_filament_, &other_unit_}) {
        const double area_mm2 = bead.area_mm2 * reading->area_factor;
        reading->width_mm.add(bead_width_mm(area_mm2, layer.height_mm), bead.path_mm);
      }
    }
    if (first_bead_.line == 0 && !layer.beads.empty()) {
      const Bead& bead = layer.beads.front();
      first_bead_ = {.line = bead.line,
                     .layer = layer.number,
                     .x_mm = bead.from_mm.x,
                     .y_mm = bead.from_mm.y,
                     .z_mm = bead.from_mm.z,
                     .has_position = true,
                     .value = 0};
    }
  }

  void on_end(const JobSummary&, Findings& findings) override {
    judge_beads(findings);
    judge_speed(findings);
    judge_acceleration(findings);
    judge_tools(findings);
  }

  std::optional<std::string> skipped() const override {
    if (machine_.nozzle_diameter_mm.stated() || machine_.filament_diameter_mm.stated() || machine_.e_unit.stated() ||
        machine_.max_speed_mm_per_s.stated() || machine_.max_acceleration_mm_per_s2.stated() ||
        machine_.tool_count.stated()) {
      return std::nullopt;
    }
    return "nothing is stated about the machine to hold the file against; state it in a profile, or by "
           "--set machine.nozzle_diameter_mm=0.4 and the like";
  }

 private:
  void on_event(const Event& event) {
    if (event.kind == EventKind::speed_limit_set && exceeds(machine_.max_speed_mm_per_s, event.value)) {
      speed_limits_.add(place_of(event, event.value));
    }
    if (event.kind == EventKind::acceleration_set && exceeds(machine_.max_acceleration_mm_per_s2, event.value)) {
      accelerations_.add(place_of(event, event.value));
    }
    if (event.kind == EventKind::tool_change && is_no_tool(event.value))
      missing_tools_.add(place_of(event, event.value));
  }

  bool exceeds(const Setting<double>& limit, double value) const { return limit.stated() && value > *limit * over_; }

  bool is_no_tool(double tool) const { return machine_.tool_count.stated() && tool >= *machine_.tool_count; }

  bool reads_volume() const { return machine_.e_unit.known() && *machine_.e_unit == EUnit::mm3; }

  double other_diameter_mm() const {
    constexpr double between_mm = (slim_filament_mm + thick_filament_mm) / 2;
    return *machine_.filament_diameter_mm < between_mm ? thick_filament_mm : slim_filament_mm;
  }

  bool fits_nozzle(double width_mm) const {
    const double ratio = width_mm / *machine_.nozzle_diameter_mm;
    return ratio >= context_.limit("narrow_ratio").value && ratio <= context_.limit("wide_ratio").value;
  }

  /// How many times as wide as high typical beads are.
  double shape(const Reading& reading) const { return reading.width_mm.median() / height_mm_.median(); }

  void judge_beads(Findings& findings) const {
    if (stated_.width_mm.empty() || !machine_.filament_diameter_mm.known()) return;
    if (machine_.nozzle_diameter_mm.stated()) {
      judge_by_nozzle(findings);
    } else if (machine_.filament_diameter_mm.stated() && !reads_volume() && is_shaped_for_other_filament()) {
      findings.add(for_other_filament());
    }
  }

  void judge_by_nozzle(Findings& findings) const {
    const bool too_high = height_mm_.median() > context_.limit("height_ratio").value * *machine_.nozzle_diameter_mm;
    const bool odd_width = !fits_nozzle(stated_.width_mm.median());
    if (odd_width && !too_high) {
      if (other_filament_fits() && !suits_finer_nozzle()) {
        findings.add(for_other_filament());
        return;
      }
      if (machine_.e_unit.stated() && fits_nozzle(other_unit_.width_mm.median())) {
        findings.add(for_other_unit());
        return;
      }
    }
    const bool some_nozzle = shape(stated_) >= 1 && shape(stated_) <= context_.limit("flat_ratio").value;
    if (odd_width && some_nozzle) {
      findings.add(for_other_nozzle_by_width(too_high));
    } else if (too_high) {
      findings.add(for_other_nozzle_by_height());
    }
  }

  bool other_filament_fits() const {
    return machine_.filament_diameter_mm.stated() && !reads_volume() && fits_nozzle(other_filament_.width_mm.median());
  }

  /// Thin, but pressed flat: a finer nozzle explains it as well as thicker filament does.
  bool suits_finer_nozzle() const {
    return stated_.width_mm.median() < *machine_.nozzle_diameter_mm && shape(stated_) >= usual_shape.low;
  }

  /// Nobody stated the nozzle: the shape of the beads is all there is.
  bool is_shaped_for_other_filament() const {
    // Beads of very thin layers are flat without fault; common practice.
    constexpr double thin_layer_mm = 0.12;
    const double as_stated = shape(stated_);
    const bool odd =
        as_stated < 1 || (as_stated > context_.limit("shape_ratio").value && height_mm_.median() >= thin_layer_mm);
    return odd && shape(other_filament_) >= usual_shape.low && shape(other_filament_) <= usual_shape.high;
  }

  Finding for_other_filament() const {
    const bool sure = machine_.nozzle_diameter_mm.stated();
    const std::string diameter = figure(*machine_.filament_diameter_mm, 2);
    const std::string other = figure(other_diameter_mm(), 2);
    const double factor = 1 / other_filament_.area_factor;
    Finding finding = about_beads("filament diameter", sure ? Severity::error : Severity::warning);
    finding.what = fmt::format(
        "Read for filament of {} mm, as the profile states, typical beads are {} mm wide at {} mm layers, which {}. "
        "Read "
        "for {} mm they are {} mm wide, which {}.",
        diameter, figure(stated_.width_mm.median(), 2), figure(height_mm_.median(), 2),
        sure ? fmt::format("a {} mm nozzle does not lay", figure(*machine_.nozzle_diameter_mm, 2))
             : "is an odd shape for any nozzle",
        other, figure(other_filament_.width_mm.median(), 2),
        sure ? "fits" : "is a usual one (nobody stated the nozzle, so this is a guess)");
    finding.why = fmt::format(
        "The same length of {} mm filament holds {} times the plastic of {} mm filament: the whole part is laid with "
        "{}.",
        diameter, figure(factor, 2), other,
        factor > 1 ? "far too much, and the nozzle ploughs through it" : "far too little, and the beads do not join");
    finding.remedy = fmt::format(
        "Slice the job anew for filament of {} mm. If the machine takes {} mm filament after all, state it: --set "
        "machine.filament_diameter_mm={}. If {} nozzle, state machine.nozzle_diameter_mm.",
        diameter, other, other, sure ? "it carries another" : "these beads suit its");
    if (sure) {
      measure_width(finding);
    } else {
      const Limit shape_limit = context_.limit("shape_ratio");
      finding.measured = Measured{.value = shape(stated_),
                                  .limit = shape(stated_) < 1 ? 1 : shape_limit.value,
                                  .unit = "ratio",
                                  .limit_from = shape_limit.from};
    }
    return finding;
  }

  Finding for_other_unit() const {
    const std::string_view stated = reads_volume() ? "a volume" : "a length";
    const std::string_view other = reads_volume() ? "a length" : "a volume";
    Finding finding = about_beads("unit of E", Severity::error);
    finding.what = fmt::format(
        "Read as {}, as the profile states, E gives typical beads {} mm wide at {} mm layers, which a {} mm nozzle "
        "does "
        "not lay. Read as {} it gives {} mm, which fits.",
        stated, figure(stated_.width_mm.median(), 2), figure(height_mm_.median(), 2),
        figure(*machine_.nozzle_diameter_mm, 2), other, figure(other_unit_.width_mm.median(), 2));
    finding.why = fmt::format("The machine takes E for {}, and feeds {} times what the part needs.", stated,
                              figure(1 / other_unit_.area_factor, 2));
    finding.remedy = fmt::format(
        "Slice the job anew with E as {}. If the machine does take E for {}, state it: --set machine.e_unit={}.",
        stated, other, reads_volume() ? "mm" : "mm3");
    measure_width(finding);
    return finding;
  }

  Finding for_other_nozzle_by_width(bool too_high) const {
    const double nozzle_mm = *machine_.nozzle_diameter_mm;
    const double width_mm = stated_.width_mm.median();
    const bool wide = width_mm > nozzle_mm;
    Finding finding = about_beads("nozzle", Severity::warning);
    finding.what = fmt::format(
        "Typical beads are {} mm wide at {} mm layers: {} times the diameter of the {} mm nozzle that the profile "
        "states{}.",
        figure(width_mm, 2), figure(height_mm_.median(), 2), figure(width_mm / nozzle_mm, 2), figure(nozzle_mm, 2),
        too_high
            ? fmt::format(", and the layers are higher than {} of it", figure(context_.limit("height_ratio").value, 2))
            : "");
    finding.why = wide
                      ? "A nozzle presses a bead flat only as far as its face reaches: much wider beads curl up, leave "
                        "gaps between them and need more flow than a small orifice passes."
                      : "Material that leaves a large orifice is not drawn into a much narrower line: thin beads tear "
                        "off, and fine walls come out ragged.";
    finding.remedy = fmt::format(
        "Slice the job anew for the {} mm nozzle, or fit one of about {} mm, which these beads suit. If it is fitted "
        "already, state it: --set machine.nozzle_diameter_mm={}.",
        figure(nozzle_mm, 2), figure(fitting_nozzle_mm(), 1), figure(fitting_nozzle_mm(), 1));
    if (other_filament_fits()) {
      finding.remedy += fmt::format(" Filament of {} mm, for which the file may have been made, would explain it too.",
                                    figure(other_diameter_mm(), 2));
    }
    measure_width(finding);
    return finding;
  }

  Finding for_other_nozzle_by_height() const {
    const double nozzle_mm = *machine_.nozzle_diameter_mm;
    const Limit ratio = context_.limit("height_ratio");
    Finding finding = about_beads("nozzle", Severity::warning);
    finding.what =
        fmt::format("Typical layers are {} mm high, more than {} of the {} mm nozzle that the profile states.",
                    figure(height_mm_.median(), 2), figure(ratio.value, 2), figure(nozzle_mm, 2));
    finding.why =
        "A bead holds because the nozzle presses it onto the one below. At this height the strand leaves the "
        "nozzle nearly round and only touches: layers part easily.";
    finding.remedy = fmt::format(
        "Slice the job anew with layers of {} mm or less, or fit a larger nozzle and state it: --set "
        "machine.nozzle_diameter_mm={}.",
        figure(std::floor(ratio.value * nozzle_mm * 100) / 100, 2),
        figure(std::ceil(height_mm_.median() / ratio.value * 10) / 10, 1));
    finding.measured = Measured{.value = height_mm_.median(),
                                .limit = ratio.value * nozzle_mm,
                                .unit = "mm",
                                .limit_from = machine_.nozzle_diameter_mm.from};
    return finding;
  }

  /// In steps of the trade, 0.1 mm: beads are laid 1.1 to 1.2 nozzle diameters wide, common practice.
  double fitting_nozzle_mm() const {
    constexpr double usual_ratio = 1.15;
    return std::max(0.1, std::round(stated_.width_mm.median() / usual_ratio * 10) / 10);
  }

  void measure_width(Finding& finding) const {
    const double nozzle_mm = *machine_.nozzle_diameter_mm;
    const double width_mm = stated_.width_mm.median();
    const Limit ratio = context_.limit(width_mm > nozzle_mm ? "wide_ratio" : "narrow_ratio");
    finding.measured = Measured{.value = width_mm,
                                .limit = ratio.value * nozzle_mm,
                                .unit = "mm",
                                .limit_from = machine_.nozzle_diameter_mm.from};
  }

  void judge_speed(Findings& findings) const {
    const Places& places = too_fast_.empty() ? speed_limits_ : too_fast_;
    if (places.empty()) return;
    const double limit = *machine_.max_speed_mm_per_s;
    Finding finding = about("speed", Severity::warning, places);
    finding.what = too_fast_.empty()
                       ? fmt::format("The file sets the machine's speed limit to {} mm/s; the profile states {} mm/s.",
                                     figure(places.worst_value(), 1), figure(limit, 1))
                       : fmt::format("{} at up to {} mm/s; the machine goes at {} mm/s at most, as the profile states.",
                                     counted(places.count(), "move is commanded", "moves are commanded"),
                                     figure(places.worst_value(), 1), figure(limit, 1));
    finding.why =
        "The job was made for a faster machine: this one moves slower than planned, so that times and cooling "
        "are others, or it loses steps where nothing holds it back.";
    finding.remedy = fmt::format(
        "Slice the job anew with speeds of {} mm/s at most. If the machine is faster, state it: --set "
        "machine.max_speed_mm_per_s={}.",
        figure(limit, 1), figure(places.worst_value(), 1));
    finding.measured = Measured{
        .value = places.worst_value(), .limit = limit, .unit = "mm/s", .limit_from = machine_.max_speed_mm_per_s.from};
    findings.add(std::move(finding));
  }

  void judge_acceleration(Findings& findings) const {
    if (accelerations_.empty()) return;
    const double limit = *machine_.max_acceleration_mm_per_s2;
    Finding finding = about("acceleration", Severity::warning, accelerations_);
    finding.what = fmt::format(
        "The file sets accelerations of up to {} mm/s²; the machine stands {} mm/s², as the profile states.",
        figure(accelerations_.worst_value()), figure(limit));
    finding.why =
        "Commands in a file override what the machine was set to: it jerks harder than it is built for, rings, "
        "and can skip steps, after which all layers are shifted.";
    finding.remedy = fmt::format(
        "Take the commands out of the file or set {} mm/s² at most. If the machine stands more, state it: --set "
        "machine.max_acceleration_mm_per_s2={}.",
        figure(limit), figure(accelerations_.worst_value()));
    finding.measured = Measured{.value = accelerations_.worst_value(),
                                .limit = limit,
                                .unit = "mm/s²",
                                .limit_from = machine_.max_acceleration_mm_per_s2.from};
    findings.add(std::move(finding));
  }

  void judge_tools(Findings& findings) const {
    const bool lays = !missing_tool_beads_.empty();
    const Places& places = lays ? missing_tool_beads_ : missing_tools_;
    if (places.empty()) return;
    const double count = *machine_.tool_count;
    Finding finding = about("tools", lays ? Severity::error : Severity::warning, places);
    finding.what = fmt::format(
        "{} tool {}; the machine has {}, numbered from 0, as the profile states.",
        lays ? counted(places.count(), "bead is laid with up to", "beads are laid with up to") : "The file calls",
        figure(places.worst_value()), count == 1 ? "1 tool" : figure(count) + " tools");
    finding.why = lays ? "The machine stops at the command, or prints what was meant for that tool with another one."
                       : "Nothing is laid with that tool, but the machine may stop at the command.";
    finding.remedy =
        fmt::format("Slice the job anew for {}, or state how many tools there are: --set machine.tool_count={}.",
                    count == 1 ? "one tool" : figure(count) + " tools", figure(places.worst_value() + 1));
    finding.measured = Measured{
        .value = places.worst_value() + 1, .limit = count, .unit = "count", .limit_from = machine_.tool_count.from};
    findings.add(std::move(finding));
  }

  Finding about_beads(std::string_view key, Severity severity) const {
    Places places;
    places.add(first_bead_);
    return about(key, severity, places);
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
  double over_;
  Reading stated_;
  Reading other_filament_;
  Reading other_unit_;
  TypicalValue height_mm_;
  Place first_bead_;
  Places too_fast_;
  Places speed_limits_;
  Places accelerations_;
  Places missing_tool_beads_;
  Places missing_tools_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<WrongMachine>(context); }

}  // namespace beadwise::checks::wrong_machine
