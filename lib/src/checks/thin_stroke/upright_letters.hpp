#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "checks/support/wording.hpp"
#include "checks/thin_stroke/limits.hpp"
#include "model/upright_lettering.hpp"

namespace beadwise::checks::thin_stroke {

/// Letters on upright faces, made of layers: what of them is too fine, and what to do about it.
class UprightLetters {
 public:
  UprightLetters(std::string_view check, const Limits& limits)
      : check_(check),
        limits_(limits),
        finder_({.stroke_layers = static_cast<int>(std::lround(limits.upright_layers.value)),
                 .stroke_mm = limits.stroke.value,
                 .stroke_beads = limits.upright_beads.value,
                 .gap_layers = static_cast<int>(std::lround(limits.upright_layers.value)),
                 .gap_beads = limits.gap_beads.value}) {}

  void look_at(const IndexedLayer& layer) { finder_.add(layer); }

  void tell(Findings& findings) {
    finder_.finish();
    for (const UprightLettering& lettering : finder_.found())
      if (const auto severity = severity_of(lettering)) findings.add(told(lettering, *severity));
  }

 private:
  double half_bead_mm(const UprightLettering& one) const { return limits_.relief_beads.value * one.bead_mm; }
  // What is told to a hundredth of a millimetre is not judged more finely.
  static double told_mm(double mm) { return std::round(100 * mm) / 100; }
  bool is_flat(const UprightLettering& one) const { return told_mm(one.depth_mm) < limits_.relief.value; }
  bool is_shallow(const UprightLettering& one) const {
    return is_flat(one) || told_mm(one.depth_mm) < told_mm(half_bead_mm(one));
  }
  static bool is_low(const UprightLettering& one) { return one.low_length_mm > 0; }
  static bool is_narrow(const UprightLettering& one) { return one.narrow_length_mm > 0; }
  static double low_share(const UprightLettering& one) { return one.low_length_mm / one.stroke_length_mm; }
  static double narrow_share(const UprightLettering& one) { return one.narrow_length_mm / one.stroke_length_mm; }

  std::optional<Severity> severity_of(const UprightLettering& one) const {
    const double gaps = static_cast<double>(one.closing_gaps) / static_cast<double>(one.line.glyphs);
    if (is_flat(one) || low_share(one) >= limits_.thin_share.value || narrow_share(one) >= limits_.thin_share.value ||
        gaps >= limits_.closing_gaps.value)
      return Severity::warning;
    if (is_shallow(one) || is_low(one) || is_narrow(one) || one.closing_gaps > 0) return Severity::note;
    return std::nullopt;
  }

  Finding told(const UprightLettering& one, Severity severity) const {
    Finding finding;
    finding.check = check_;
    finding.severity = severity;
    finding.symptoms = {Symptom::illegible_text};
    finding.what = what(one);
    finding.why = why(one);
    finding.remedy = remedy(one);
    finding.key = fmt::format("{} lettering on an upright face, {} glyphs, {} mm high", one.sunk ? "sunk" : "raised",
                              one.line.glyphs, figure(one.line.height_mm, 0));
    finding.measured = measured(one);
    add_places(one, finding);
    return finding;
  }

  /// The worst first: what is lost before what is hard to see.
  Measured measured(const UprightLettering& one) const {
    if (is_low(one))
      return {.value = static_cast<double>(one.lowest_layers),
              .limit = static_cast<double>(one.asked_layers),
              .unit = std::string("layers"),
              .limit_from = limits_.upright_layers.from};
    if (is_narrow(one))
      return {.value = one.narrowest_mm,
              .limit = one.asked_mm,
              .unit = std::string("mm"),
              .limit_from = one.sunk ? limits_.stroke.from : limits_.upright_beads.from};
    if (is_shallow(one))
      return {.value = one.depth_mm,
              .limit = least_relief_mm(one),
              .unit = std::string("mm"),
              .limit_from = is_flat(one) ? limits_.relief.from : limits_.relief_beads.from};
    if (one.lowest_gap_layers > 0)
      return {.value = static_cast<double>(one.lowest_gap_layers),
              .limit = limits_.upright_layers.value,
              .unit = std::string("layers"),
              .limit_from = limits_.upright_layers.from};
    return {.value = one.narrowest_gap_mm,
            .limit = limits_.gap_beads.value * one.bead_mm,
            .unit = std::string("mm"),
            .limit_from = limits_.gap_beads.from};
  }

  double least_relief_mm(const UprightLettering& one) const {
    return is_flat(one) ? limits_.relief.value : half_bead_mm(one);
  }

  /// Places and the picture show one fault, the one that is measured.
  void add_places(const UprightLettering& one, Finding& finding) const {
    const std::vector<UprightPlace> first{one.first_place};
    const double limit = finding.measured->limit;
    const std::vector<UprightPlace>& places = is_low(one)       ? one.low_strokes
                                              : is_narrow(one)  ? one.narrow_strokes
                                              : is_shallow(one) ? first
                                                                : one.gaps;
    for (const UprightPlace& at : places) {
      const double value = is_shallow(one) && !is_low(one) && !is_narrow(one) ? 0 : std::max(0.0, limit - at.value);
      finding.places.add({.line = at.line,
                          .layer = at.layer,
                          .x_mm = (at.from.x + at.to.x) / 2,
                          .y_mm = (at.from.y + at.to.y) / 2,
                          .z_mm = at.z_mm,
                          .has_position = true,
                          .value = value});
      keep_mark(finding.marks, {.layer = at.layer,
                                .points_mm = {{at.from.x, at.from.y}, {at.to.x, at.to.y}},
                                .width_mm = one.bead_mm,
                                .value = value});
    }
  }

  std::string what(const UprightLettering& one) const {
    std::string text = fmt::format(
        "{} lettering of {} glyphs on an upright face{} that looks to {}° against X: {} mm high, {} of {} mm, {} by {} "
        "mm ({}), at X {} to {}, Y {} to {}, Z {} to {}, in {}.",
        one.sunk ? "Sunk" : "Raised", one.line.glyphs,
        one.radius_mm > 0 ? fmt::format(" of {} mm radius", figure(one.radius_mm, 0)) : std::string(),
        figure(one.outward_deg), figure(one.line.height_mm, 1),
        counted(static_cast<std::uint64_t>(std::lround(one.line.height_mm / one.layer_mm)), "layer", "layers"),
        figure(one.layer_mm, 2), one.sunk ? "sunk in" : "standing out", figure(one.depth_mm, 2),
        beads(one.depth_mm, one), figure(one.box_mm.low.x, 0), figure(one.box_mm.high.x, 0),
        figure(one.box_mm.low.y, 0), figure(one.box_mm.high.y, 0), figure(one.box_mm.low.z, 1),
        figure(one.box_mm.high.z, 1), layers_between(one.first_layer, one.last_layer));
    if (is_low(one))
      text += fmt::format(" Level strokes down to {}; {} % of the strokes' length has fewer than {}.",
                          layers(one.lowest_layers), figure(std::max(1.0, 100 * low_share(one))), one.asked_layers);
    else if (one.lowest_layers > 0)
      text += fmt::format(" Its lowest level stroke has {}.", layers(one.lowest_layers));
    if (is_narrow(one))
      text += fmt::format(" Upright strokes down to {} mm along the wall ({}), {} % of the strokes' length.",
                          figure(one.narrowest_mm, 2), beads(one.narrowest_mm, one),
                          figure(std::max(1.0, 100 * narrow_share(one))));
    if (one.closing_gaps > 0) text += gaps(one);
    return text;
  }

  static std::string gaps(const UprightLettering& one) {
    const bool narrow = one.narrowest_gap_mm < 1e300;
    std::string text = fmt::format(" {} between strokes or inside them, down to",
                                   counted(one.closing_gaps, "narrow gap", "narrow gaps"));
    if (narrow) text += fmt::format(" {} mm along the wall", figure(one.narrowest_gap_mm, 2));
    if (one.lowest_gap_layers > 0) text += fmt::format("{} {}", narrow ? " and" : "", layers(one.lowest_gap_layers));
    return text + ".";
  }

  static std::string layers(int count) { return counted(static_cast<std::uint64_t>(count), "layer", "layers"); }

  static std::string beads(double mm, const UprightLettering& one) {
    const std::string count = figure(mm / one.bead_mm, 2);
    return count + (count == "1" ? " bead" : " beads");
  }

  std::string why(const UprightLettering& one) const {
    std::string text;
    const auto add = [&](const std::string& sentence) { text += (text.empty() ? "" : " ") + sentence; };
    if (is_low(one))
      add(fmt::format(
          "On an upright face a level stroke is made of whole layers: under {} it is not told from the layers' own "
          "lines.",
          layers(one.asked_layers)));
    if (is_narrow(one) && !one.sunk)
      add(fmt::format(
          "The nozzle goes out and back along a stroke; within {} of a bead's width both ways lie on one another.",
          figure(limits_.upright_beads.value, 2)));
    if (is_narrow(one) && one.sunk)
      add(fmt::format("A groove under {} mm is hard to see, and is filled by the beads beside it.",
                      figure(limits_.stroke.value, 2)));
    if (is_flat(one))
      add(fmt::format("A step under {} mm is not told from what walls are off by themselves.",
                      figure(limits_.relief.value, 2)));
    else if (is_shallow(one))
      add(fmt::format("A step under {} of a bead's width throws little shadow and has round edges.",
                      figure(limits_.relief_beads.value, 2)));
    if (one.closing_gaps > 0)
      add(fmt::format("A gap narrower than {} of a bead, or of fewer than {}, closes, and letters run together.",
                      figure(limits_.gap_beads.value, 2), layers(static_cast<int>(limits_.upright_layers.value))));
    return text;
  }

  std::string remedy(const UprightLettering& one) const {
    std::string text;
    const auto add = [&](const std::string& sentence) { text += (text.empty() ? "" : " ") + sentence; };
    if (const double factor = stroke_factor(one); factor > 1)
      add(fmt::format("Enlarge the text by a factor of {} (to {} mm), or take a bolder face with even strokes{}.",
                      figure(factor, 2), figure(factor * one.line.height_mm, 1), thinner_layers(one)));
    if (is_shallow(one))
      add(fmt::format("Make the relief {} mm deep.",
                      figure(rounded_up(std::max(limits_.relief.value, half_bead_mm(one))), 2)));
    if (one.closing_gaps > 0) add("Space the letters wider, or open them: their gaps close.");
    if (is_low(one) || is_narrow(one))
      add("Or lay the part down so that the face with the letters is on top: there they are as fine as the beads.");
    return text;
  }

  static double rounded_up(double value) {
    constexpr double steps = 20;
    return std::ceil(steps * value - 1e-9) / steps;
  }

  static double stroke_factor(const UprightLettering& one) {
    double factor = 1;
    if (is_low(one)) factor = static_cast<double>(one.asked_layers) / one.lowest_layers;
    if (is_narrow(one)) factor = std::max(factor, one.asked_mm / one.narrowest_mm);
    return rounded_up(factor);
  }

  /// Where the strokes are high enough to be read, and only the layers too thick for them.
  std::string thinner_layers(const UprightLettering& one) const {
    const double height_mm = one.lowest_layers * one.layer_mm;
    const double layer_mm = height_mm / one.asked_layers;
    if (!is_low(one) || height_mm < limits_.stroke.value) return "";
    return fmt::format(", or print layers of {} mm, so that its level strokes have {}", figure(layer_mm, 2),
                       layers(one.asked_layers));
  }

  std::string check_;
  const Limits& limits_;
  UprightLetterFinder finder_;
};

}  // namespace beadwise::checks::thin_stroke
