#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/wording.hpp"
#include "model/bead_path.hpp"
#include "model/layer_stack.hpp"
#include "model/role_kinds.hpp"

namespace beadwise::checks::weak_first_layer {

const Description& describe() {
  static const Description description{
      .needs = Needs::stack,
      .severities = {Severity::note, Severity::warning},
      .symptoms = {Symptom::rough_first_layer, Symptom::knocked_loose},
      .thresholds = {
          {.key = "share_ratio",
           .built_in = 0.5,
           .unit = "ratio",
           .meaning = "what holds for no more of the first layer's length is no fault of the first layer",
           .source = "common practice: single thin or fast beads hold by their neighbours"},
          {.key = "highest_ratio",
           .built_in = 0.8,
           .unit = "ratio",
           .meaning = "layer height over nozzle; a higher strand is laid down, not pressed on",
           .source = "common practice; a strand spreads under the nozzle only while the gap is less than the orifice "
                     "(Xu et al. 2022, Addit. Manuf. 59:103107)"},
          {.key = "pressed_ratio",
           .built_in = 1.5,
           .unit = "ratio",
           .meaning = "beads at least so many times as wide as high are pressed on at any height",
           .source = "common practice: rafts and thick first layers are laid like this on purpose"},
          {.key = "lowest_ratio",
           .built_in = 0.2,
           .unit = "ratio",
           .meaning = "layer height over nozzle; lower, the plate closes the orifice",
           .source = "common practice"},
          {.key = "narrowest_ratio",
           .built_in = 0.8,
           .unit = "ratio",
           .meaning = "bead width over nozzle; a narrower bead is a strand drawn thin",
           .source = "common practice: first layers are laid 1 to 1.5 times as wide as the nozzle"},
          {.key = "squeeze_ratio",
           .built_in = 1.3,
           .unit = "ratio",
           .meaning = "bead width over height; a bead nearer to round touches the plate with little of its width",
           .source = "bead geometry: a rounded rectangle lies flat on w − h of its width w; the limit is common "
                     "practice"},
          {.key = "warning_mm_per_s",
           .built_in = 60,
           .unit = "mm/s",
           .meaning = "outlines laid faster are likely to come off",
           .source = "common practice: twice what is ordinary, 20 to 30 mm/s"},
          {.key = "note_mm_per_s",
           .built_in = 50,
           .unit = "mm/s",
           .meaning = "outlines laid faster are worth knowing",
           .source = "common practice: what fast machines are set to"},
          {.key = "fill_ratio",
           .built_in = 2,
           .unit = "ratio",
           .meaning = "fill laid so many times as fast as the outlines is worth knowing",
           .source = "common practice: it pulls at the outlines that it is to weld to"},
          {.key = "ordinary_mm_per_s",
           .built_in = 30,
           .unit = "mm/s",
           .meaning = "fill no faster than this is never too fast",
           .source = "common practice: the speed of an ordinary first layer"},
          {.key = "fan_ratio",
           .built_in = 0.3,
           .unit = "ratio",
           .meaning = "a part-cooling fan faster than this over the first layer is worth knowing",
           .source = "common practice: off until the second or third layer"},
          {.key = "cold_bed_c",
           .built_in = 15,
           .unit = "°C",
           .meaning = "a bed so far below the material's range hardly holds it",
           .source = "common practice; adhesion falls steeply once the bed is well below the glass transition (Spoerk "
                     "et al. 2018, Plast. Rubber Compos. 47:17, from memory)"}}};
  return description;
}

namespace {

/// What a part of the first layer has in common.
struct Tally {
  double length_mm = 0;
  double value_mm = 0;  ///< the value, times the length that has it
  Places places;        ///< the first bead of each layer

  void add(const Bead& bead, const Layer& layer, double value, double badness) {
    length_mm += bead.path_mm;
    value_mm += value * bead.path_mm;
    if (!places.empty() && places.last_layer() == layer.number) return;
    places.add({.line = bead.line,
                .layer = layer.number,
                .x_mm = bead.from_mm.x,
                .y_mm = bead.from_mm.y,
                .z_mm = bead.from_mm.z,
                .has_position = true,
                .value = badness});
  }
  double mean() const { return length_mm > 0 ? value_mm / length_mm : 0; }
};

/// How fast beads are laid, as the motion plan lets them.
struct Speeds {
  double time_s = 0;
  Tally laid;   ///< everything
  Tally fast;   ///< beyond the warning's limit
  Tally brisk;  ///< beyond the note's

  double mean_mm_per_s() const { return time_s > 0 ? laid.length_mm / time_s : 0; }
};

/// What is called prime and carries nothing is left out by that; where something lies on it, the word is wrong or it is
/// a block that has to hold, too.
bool is_part(BeadRole role) { return role != BeadRole::skirt && role != BeadRole::ironing && !is_support(role); }

/// What the layers over the first one are like. What is wrong with all of them is no fault of the first.
struct Later {
  static constexpr int most_layers = 20;
  int layers = 0;
  double length_mm = 0;
  double width_mm2 = 0;   ///< width, times the length that has it
  double height_mm2 = 0;  ///< height, likewise

  void add(const Layer& layer, const std::vector<BeadRole>& roles) {
    ++layers;
    for (std::size_t i = 0; i < layer.beads.size(); ++i) {
      const Bead& bead = layer.beads[i];
      if (!is_part(roles[i]) || !(bead.width_mm > 0)) continue;
      length_mm += bead.path_mm;
      width_mm2 += bead.width_mm * bead.path_mm;
      height_mm2 += layer.height_mm * bead.path_mm;
    }
  }
};

class WeakFirstLayer final : public Check {
 public:
  explicit WeakFirstLayer(const CheckContext& context)
      : context_(context),
        share_ratio_(context.limit("share_ratio").value),
        highest_(context.limit("highest_ratio")),
        pressed_ratio_(context.limit("pressed_ratio").value),
        lowest_(context.limit("lowest_ratio")),
        narrowest_(context.limit("narrowest_ratio")),
        squeeze_(context.limit("squeeze_ratio")),
        fast_(context.limit("warning_mm_per_s")),
        brisk_(context.limit("note_mm_per_s")),
        fill_(context.limit("fill_ratio")),
        ordinary_mm_per_s_(context.limit("ordinary_mm_per_s").value),
        fan_(context.limit("fan_ratio")),
        cold_bed_(context.limit("cold_bed_c")) {
    // The usual nozzle, taken where the beads tell nothing, judges no beads.
    const Setting<double>& nozzle = context.profile.machine.nozzle_diameter_mm;
    if (nozzle.known() && nozzle.from != Origin::built_in) nozzle_mm_ = *nozzle;
  }

  void on_stack(const LayerStack& stack, Findings&) override {
    const Layer& layer = stack.layer.layer;
    const std::vector<BeadRole>& roles = stack.layer.roles;
    if (!layer.on_plate) {
      if (later_.layers < Later::most_layers) later_.add(layer, roles);
      return;
    }
    find_carrying(stack);
    const auto carries = [&](std::size_t bead) { return carrying_[stack.layer.island_of[bead]] != 0; };
    // A part that stands on nothing but support has that for its first layer.
    bool on_support = true;
    for (std::size_t i = 0; on_support && i < roles.size(); ++i) on_support = !(is_part(roles[i]) && carries(i));
    for (std::size_t i = 0; i < layer.beads.size(); ++i) {
      if (!carries(i) || !(is_part(roles[i]) || (on_support && is_support(roles[i])))) continue;
      const Bead& bead = layer.beads[i];
      length_mm_ += bead.path_mm;
      judge_speed(bead, roles[i], layer);
      judge_shape(bead, layer);
      judge_warmth(bead, layer);
    }
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    if (job.extruder_switched) return;
    add_shape(findings);
    add_speed(findings);
    if (is_much(windy_)) findings.add(fan_on());
    if (is_much(cold_))
      findings.add(bed_too_cold(cold_, Severity::warning));
    else if (is_much(cool_))
      findings.add(bed_too_cold(cool_, Severity::note));
  }

  std::optional<std::string> skipped() const override {
    if (length_mm_ > 0) return std::nullopt;
    return "no bead lies on the plate";
  }

 private:
  bool is_much(const Tally& tally) const { return tally.length_mm > share_ratio_ * length_mm_; }

  /// Which islands something lies on. Others are prime lines and the like, whatever the comments call them; of a print
  /// of one layer all count.
  void find_carrying(const LayerStack& stack) {
    const IndexedLayer& indexed = stack.layer;
    const bool alone = stack.above.empty();
    carrying_.assign(indexed.islands.size(), alone ? 1 : 0);
    for (std::size_t i = 0; i < indexed.layer.beads.size(); ++i) {
      char& carries = carrying_[indexed.island_of[i]];
      if (carries != 0) continue;
      const Point middle = point_on_bead(indexed.layer.beads[i], indexed.layer.arcs, 0.5);
      if (stack.covered({middle.x, middle.y})) carries = 1;
    }
  }

  void add_shape(Findings& findings) const {
    const double later_mm = later_.length_mm;
    const double nozzle_mm = nozzle_mm_.value_or(0);
    const bool all_high = later_mm > 0 && later_.height_mm2 > highest_.value * nozzle_mm * later_mm;
    const bool all_narrow = later_mm > 0 && later_.width_mm2 < narrowest_.value * nozzle_mm * later_mm;
    if (is_much(low_)) findings.add(too_low());
    if (is_much(high_)) {
      if (!all_high) findings.add(too_high());
    } else if (is_much(narrow_)) {
      if (!all_narrow) findings.add(too_narrow());
    } else if (is_much(round_)) {
      findings.add(too_round());
    }
  }

  void judge_speed(const Bead& bead, BeadRole role, const Layer& layer) {
    if (!(bead.duration_s > 0)) return;
    const double speed = bead.path_mm / static_cast<double>(bead.duration_s);
    const auto lay = [&](Speeds& speeds) {
      speeds.laid.add(bead, layer, speed, speed);
      speeds.time_s += static_cast<double>(bead.duration_s);
      if (speed > fast_.value) speeds.fast.add(bead, layer, speed, speed);
      if (speed > brisk_.value) speeds.brisk.add(bead, layer, speed, speed);
    };
    lay(all_);
    if (is_wall(role)) lay(outlines_);
    if (is_fill(role)) lay(filled_);
  }

  void judge_shape(const Bead& bead, const Layer& layer) {
    if (!(bead.width_mm > 0) || !(layer.height_mm > 0)) return;
    const double flatness = bead.width_mm / layer.height_mm;
    if (flatness < squeeze_.value) round_.add(bead, layer, flatness, squeeze_.value - flatness);
    if (!nozzle_mm_) return;
    const double height_ratio = layer.height_mm / *nozzle_mm_;
    const double width_ratio = bead.width_mm / *nozzle_mm_;
    if (height_ratio > highest_.value && flatness < pressed_ratio_)
      high_.add(bead, layer, layer.height_mm, height_ratio);
    if (height_ratio < lowest_.value) low_.add(bead, layer, layer.height_mm, lowest_.value - height_ratio);
    if (width_ratio < narrowest_.value) narrow_.add(bead, layer, bead.width_mm, narrowest_.value - width_ratio);
  }

  void judge_warmth(const Bead& bead, const Layer& layer) {
    const double fan = static_cast<double>(bead.fan_ratio);
    if (fan > fan_.value) windy_.add(bead, layer, fan, fan);
    const Setting<Range>& range = context_.profile.filament.bed_c;
    const double bed_c = layer.settings.bed_c;
    if (!range.known() || !std::isfinite(bed_c)) return;
    const double missing_c = (*range).low - bed_c;
    if (missing_c > 0) cool_.add(bead, layer, bed_c, missing_c);
    if (missing_c > cold_bed_.value) cold_.add(bead, layer, bed_c, missing_c);
  }

  Finding begin(Severity severity, const Tally& tally, std::string_view key, const Measured& measured) const {
    Finding finding;
    finding.check = context_.name;
    finding.severity = severity;
    finding.symptoms = {Symptom::knocked_loose};
    finding.key = key;
    finding.measured = measured;
    finding.places = tally.places;
    return finding;
  }

  std::string nozzle_guess() const {
    const Setting<double>& nozzle = context_.profile.machine.nozzle_diameter_mm;
    if (nozzle.stated()) return {};
    return fmt::format(
        " That the nozzle is {} mm is taken from the file ({}); where it is another, state machine.nozzle_diameter_mm.",
        figure(*nozzle, 2), nozzle.because);
  }

  std::string material_guess() const {
    const FilamentProfile& filament = context_.profile.filament;
    if (filament.bed_c.stated() || filament.material.stated()) return {};
    return fmt::format(" That the filament is {} is a guess from the set points: state it by filament.material.",
                       filament.material.value.value_or("such"));
  }

  Finding too_high() const {
    const double height_mm = high_.mean();
    Finding finding = begin(
        Severity::warning, high_, "height",
        {.value = height_mm / *nozzle_mm_, .limit = highest_.value, .unit = "ratio", .limit_from = highest_.from});
    finding.what = fmt::format("The first layer lies {} mm over the plate, {} of the nozzle's {} mm.",
                               figure(height_mm, 2), figure(height_mm / *nozzle_mm_, 2), figure(*nozzle_mm_, 2));
    finding.why =
        "The strand leaves the nozzle nearly round and is laid down, not pressed on: it touches the plate with a "
        "narrow "
        "line, and corners and small pieces come off.";
    finding.remedy =
        fmt::format("Lay the first layer at {} to {} mm, or its beads at least {} mm wide at this height.{}",
                    figure(*nozzle_mm_ / 2, 2), figure(highest_.value * *nozzle_mm_, 2),
                    figure(pressed_ratio_ * height_mm, 2), nozzle_guess());
    return finding;
  }

  Finding too_low() const {
    const double height_mm = low_.mean();
    Finding finding =
        begin(Severity::warning, low_, "height",
              {.value = height_mm / *nozzle_mm_, .limit = lowest_.value, .unit = "ratio", .limit_from = lowest_.from});
    finding.symptoms = {Symptom::rough_first_layer};
    finding.what = fmt::format("The first layer lies only {} mm over the plate, {} of the nozzle's {} mm.",
                               figure(height_mm, 3), figure(height_mm / *nozzle_mm_, 2), figure(*nozzle_mm_, 2));
    finding.why =
        "No plate is as even as that: where it is high it closes the orifice, where it is low the bead does not reach "
        "it. The first layer comes out in ridges and gaps.";
    finding.remedy =
        fmt::format("Lay the first layer at {} mm, half the nozzle.{}", figure(*nozzle_mm_ / 2, 2), nozzle_guess());
    return finding;
  }

  Finding too_narrow() const {
    const double width_mm = narrow_.mean();
    Finding finding = begin(
        Severity::warning, narrow_, "width",
        {.value = width_mm / *nozzle_mm_, .limit = narrowest_.value, .unit = "ratio", .limit_from = narrowest_.from});
    finding.symptoms = {Symptom::rough_first_layer, Symptom::knocked_loose};
    finding.what =
        fmt::format("{} % of the first layer is laid in beads of {} mm on average, {} of the nozzle's {} mm.",
                    figure(100 * narrow_.length_mm / length_mm_), figure(width_mm, 2),
                    figure(width_mm / *nozzle_mm_, 2), figure(*nozzle_mm_, 2));
    finding.why =
        "So little plastic is drawn out thin instead of being pressed on: it breaks off in corners, and a plate a "
        "little "
        "low somewhere is enough that it does not stick.";
    finding.remedy = fmt::format("Lay the first layer in beads of {} to {} mm, with the flow that this takes.{}",
                                 figure(*nozzle_mm_, 2), figure(pressed_ratio_ * *nozzle_mm_, 2), nozzle_guess());
    return finding;
  }

  Finding too_round() const {
    const double flatness = round_.mean();
    Finding finding = begin(Severity::note, round_, "squeeze",
                            {.value = flatness, .limit = squeeze_.value, .unit = "ratio", .limit_from = squeeze_.from});
    finding.what = fmt::format(
        "{} % of the first layer is laid in beads only {} times as wide as high: they lie flat on {} % of their width.",
        figure(100 * round_.length_mm / length_mm_), figure(flatness, 2),
        figure(100 * std::max(0.0, 1 - 1 / flatness)));
    finding.why = "What holds a bead is the flat strip that is pressed on the plate.";
    finding.remedy = fmt::format("Lay the first layer lower or wider, at least {} times as wide as high.",
                                 figure(pressed_ratio_, 1));
    return finding;
  }

  void add_speed(Findings& findings) const {
    const Speeds& judged = outlines_.laid.length_mm > 0 ? outlines_ : all_;
    const double much_mm = share_ratio_ * judged.laid.length_mm;
    const bool fast = judged.fast.length_mm > much_mm;
    if (fast || judged.brisk.length_mm > much_mm)
      findings.add(too_fast(judged, fast));
    else if (fill_is_fast())
      findings.add(fill_too_fast());
  }

  Finding too_fast(const Speeds& judged, bool fast) const {
    const Limit& limit = fast ? fast_ : brisk_;
    const Tally& tally = fast ? judged.fast : judged.brisk;
    Finding finding = begin(fast ? Severity::warning : Severity::note, tally, "speed",
                            {.value = tally.mean(), .limit = limit.value, .unit = "mm/s", .limit_from = limit.from});
    finding.symptoms = {Symptom::rough_first_layer, Symptom::knocked_loose};
    finding.what = fmt::format("{} % of the first layer's {} are laid faster than {} mm/s: at {} mm/s on average.",
                               figure(100 * tally.length_mm / judged.laid.length_mm),
                               &judged == &outlines_ ? "outlines" : "beads", figure(limit.value), figure(tally.mean()));
    finding.why =
        "A bead holds once it has wetted the plate, which takes a moment under the nozzle. Laid too fast it is pulled "
        "along instead, in corners and small circles first.";
    finding.remedy =
        fmt::format("Lay the first layer at 20 to {} mm/s, outlines above all.", figure(ordinary_mm_per_s_));
    return finding;
  }

  bool fill_is_fast() const {
    if (outlines_.laid.length_mm <= 0 || filled_.laid.length_mm <= 0) return false;
    const double speed = filled_.mean_mm_per_s();
    return speed > ordinary_mm_per_s_ && speed > fill_.value * outlines_.mean_mm_per_s();
  }

  Finding fill_too_fast() const {
    const double ratio = filled_.mean_mm_per_s() / outlines_.mean_mm_per_s();
    Finding finding = begin(Severity::note, filled_.laid, "fill speed",
                            {.value = ratio, .limit = fill_.value, .unit = "ratio", .limit_from = fill_.from});
    finding.symptoms = {Symptom::rough_first_layer};
    finding.what = fmt::format("The first layer's fill is laid at {} mm/s, {} times as fast as its outlines.",
                               figure(filled_.mean_mm_per_s()), figure(ratio, 1));
    finding.why = "Fast fill pulls at the outlines that it is to weld to, and sticks worse than they do.";
    finding.remedy = fmt::format("Lay the first layer's fill at {} mm/s, as its outlines.",
                                 figure(std::max(outlines_.mean_mm_per_s(), ordinary_mm_per_s_)));
    return finding;
  }

  Finding fan_on() const {
    Finding finding = begin(Severity::note, windy_, "fan",
                            {.value = windy_.mean(), .limit = fan_.value, .unit = "ratio", .limit_from = fan_.from});
    finding.what = fmt::format("The part-cooling fan runs at {} % over {} % of the first layer.",
                               figure(100 * windy_.mean()), figure(100 * windy_.length_mm / length_mm_));
    finding.why = "Air that cools the bead before it has wetted the plate makes it hold less, and cools the bed.";
    finding.remedy = "Switch the fan on with the second or third layer.";
    return finding;
  }

  Finding bed_too_cold(const Tally& tally, Severity severity) const {
    const Range& range = *context_.profile.filament.bed_c;
    const double bed_c = tally.mean();
    const bool off = bed_c <= 0;
    Finding finding = begin(severity, tally, "bed",
                            {.value = bed_c,
                             .limit = range.low - (severity == Severity::warning ? cold_bed_.value : 0),
                             .unit = "°C",
                             .limit_from = cold_bed_.from});
    const std::string state = off ? std::string("off") : fmt::format("set to {} °C", figure(bed_c));
    finding.what = fmt::format("The bed is {} while the first layer is laid; the material is printed on {} to {} °C.",
                               state, figure(range.low), figure(range.high));
    finding.why =
        "Plastic holds on a bed near its glass transition; on a cold one it freezes before it has wetted the "
        "plate, shrinks and lets go.";
    finding.remedy = fmt::format(
        "Set the bed to {} to {} °C before the first layer and wait for it, as the maker of the filament says; a hot "
        "bed "
        "burns.{}",
        figure(range.low), figure(range.high), material_guess());
    return finding;
  }

  CheckContext context_;
  double share_ratio_;
  Limit highest_;
  double pressed_ratio_;
  Limit lowest_;
  Limit narrowest_;
  Limit squeeze_;
  Limit fast_;
  Limit brisk_;
  Limit fill_;
  double ordinary_mm_per_s_;
  Limit fan_;
  Limit cold_bed_;
  std::optional<double> nozzle_mm_;
  std::vector<char> carrying_;  ///< by island of the layer in hand
  Later later_;
  double length_mm_ = 0;
  Speeds all_;
  Speeds outlines_;
  Speeds filled_;
  Tally high_;
  Tally low_;
  Tally narrow_;
  Tally round_;
  Tally windy_;
  Tally cold_;
  Tally cool_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<WeakFirstLayer>(context); }

}  // namespace beadwise::checks::weak_first_layer
