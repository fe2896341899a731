#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "checks/support/colder_nozzle.hpp"
#include "checks/support/lift_to_try.hpp"
#include "checks/support/nozzle_range.hpp"
#include "checks/support/pull_back.hpp"
#include "checks/support/wording.hpp"
#include "checks/thin_stroke/letter_line.hpp"

namespace beadwise::checks::thin_stroke {

/// Says what was found on one line of lettering.
class Sentences {
 public:
  Sentences(const Profile& profile, const Limits& limits, const TypicalValue& pulled_mm, double enough_mm)
      : profile_(profile), limits_(limits), pulled_mm_(pulled_mm), enough_mm_(enough_mm) {}

  std::string what(const Lettering& lettering) const {
    std::string text = place(lettering);
    if (lettering.is_thin(limits_))
      text += fmt::format(
          " Strokes down to {} mm, {} % of their length narrower than {} mm.", figure(lettering.narrowest.mm, 2),
          figure(std::max(1.0, 100 * lettering.thin_edge_mm / lettering.edge_mm)), figure(limits_.stroke_mm(), 2));
    if (lettering.closing_gaps > 0)
      text += fmt::format(" {} down to {} mm between strokes or inside them.",
                          counted(lettering.closing_gaps, "gap", "gaps"), figure(lettering.gap.mm, 2));
    if (lettering.broken > 0)
      text += fmt::format(" {} in the open, thinned to nothing: what goes on from there was too thin and is left out.",
                          counted(lettering.broken, "stroke ends", "strokes end"));
    return text + lost(lettering.lost) + steps(lettering.stepped) + travels(lettering);
  }

  std::string why(const Lettering& lettering) const {
    std::string text;
    const auto add = [&](const std::string& sentence) { text += (text.empty() ? "" : " ") + sentence; };
    if (lettering.is_thin(limits_))
      add(fmt::format(
          "A strand narrower than {} mm ({} of {}) breaks or does not stick, and strokes under {} mm are hard to read.",
          figure(limits_.nozzle_ratio.value * limits_.nozzle_mm, 2), figure(limits_.nozzle_ratio.value, 2), nozzle(),
          figure(limits_.stroke.value, 2)));
    if (lettering.closing_gaps > 0)
      add(fmt::format("A gap narrower than {} of a bead closes, and letters run together.",
                      figure(limits_.gap_beads.value, 2)));
    if (tells_lost(lettering) && lettering.lost.blobs > 0)
      add("The nozzle cannot draw a stroke shorter than it is wide: it leaves a round blob.");
    if (tells_lost(lettering) && lettering.lost.unmetered > 0)
      add(fmt::format(
          "{} mm of filament are one step of a plain drive, three or four of a geared one: what comes out of less is "
          "chance.",
          figure(limits_.least_feed.value, 3)));
    if (tells_steps(lettering))
      add("Melt takes a while to follow a new width: the stroke comes out too thin first, or too thick.");
    return text;
  }

  std::string remedy(const Lettering& lettering) const {
    std::string text;
    if (lettering.is_thin(limits_)) text += stroke_remedy(lettering);
    if (lettering.closing_gaps > 0) {
      const double factor = rounded_up(limits_.gap_beads.value * lettering.bead_mm / lettering.gap.mm);
      text +=
          fmt::format("{}Space the letters wider, or enlarge the text by a factor of {}, so that the gaps stay open.",
                      text.empty() ? "" : " ", figure(factor, 2));
    }
    if (tells_lost(lettering)) text += (text.empty() ? "" : " ") + lost_remedy(lettering);
    if (tells_steps(lettering))
      text += fmt::format(
          "{}Draw the letters in strokes of one width, or print them more slowly, so that the flow has time to follow.",
          text.empty() ? "" : " ");
    return text + between_glyphs(lettering);
  }

 private:
  // The dot of one i is worth a figure, but nothing has to be done about it.
  bool tells_lost(const Lettering& lettering) const { return lettering.lost_per_glyph() >= limits_.note_lost.value; }
  bool tells_steps(const Lettering& lettering) const { return lettering.steps_per_glyph() >= limits_.note_steps.value; }

  static double rounded_up(double factor) {
    constexpr double steps = 20;
    return std::ceil(steps * factor - 1e-9) / steps;
  }

  static std::string place(const Lettering& lettering) {
    const LetteringLine& line = lettering.line;
    const std::string course = line.curved ? fmt::format(" on an arc of {} mm", figure(line.radius_mm, 0))
                               : line.angle_deg > 1 && line.angle_deg < 179
                                   ? fmt::format(" at {}°", figure(line.angle_deg, 0))
                                   : std::string();
    return fmt::format("{} lettering of {} glyphs, {} mm high{}, at X {} to {}, Y {} to {}, in {}.",
                       lettering.hole ? "Sunk" : "Raised", line.glyphs, figure(line.height_mm, 1), course,
                       figure(lettering.box.low.x, 0), figure(lettering.box.high.x, 0), figure(lettering.box.low.y, 0),
                       figure(lettering.box.high.y, 0), layers_between(lettering.first_layer, lettering.last_layer));
  }

  std::string lost(const Unlaid& unlaid) const {
    if (unlaid.lost.empty()) return "";
    std::string text = fmt::format(" In one layer, of {},", counted(unlaid.strokes, "stroke", "strokes"));
    if (unlaid.blobs > 0)
      text += fmt::format(" {} shorter than {} (the least {} mm, {} mm wide)", counted(unlaid.blobs, "is", "are"),
                          limits_.blob_widths.value == 1
                              ? std::string("wide")
                              : fmt::format("{} times their width", figure(limits_.blob_widths.value, 2)),
                          figure(unlaid.shortest_mm, 2), figure(unlaid.shortest_width_mm, 2));
    if (unlaid.unmetered > 0)
      text += fmt::format("{} {} less than {} mm of filament (the least {} mm)", unlaid.blobs > 0 ? " and" : "",
                          counted(unlaid.unmetered, "takes", "take"), figure(limits_.least_feed.value, 3),
                          figure(unlaid.least_feed_mm, 4));
    text += '.';
    return text;
  }

  static std::string steps(const Unlaid& unlaid) {
    if (unlaid.steps.empty()) return "";
    const auto widest = std::max_element(unlaid.steps.begin(), unlaid.steps.end(),
                                         [](const WidthStep& a, const WidthStep& b) { return a.ratio() < b.ratio(); });
    return fmt::format(" In one layer the width of a stroke steps {}, at most from {} to {} mm.",
                       counted(unlaid.steps.size(), "time", "times"), figure(widest->from_mm, 2),
                       figure(widest->to_mm, 2));
  }

  static std::string travels(const Lettering& lettering) {
    const GlyphPassages& passages = lettering.passages;
    if (passages.all == 0) return "";
    std::string text = fmt::format(
        " Between the glyphs lead {} ({} a glyph and layer), {} with the filament pulled back",
        counted(passages.all, "travel", "travels"),
        figure(lettering.per_glyph(static_cast<double>(passages.all)) / lettering.layers, 1), passages.pulled_back);
    if (passages.low == 0) return text + ", all lifted.";
    text += fmt::format(", {} without lift", passages.low);
    if (passages.dragged > 0) text += fmt::format(", {} in contact over what is laid", passages.dragged);
    return text + ".";
  }

  std::string stroke_remedy(const Lettering& lettering) const {
    const double factor = rounded_up(limits_.stroke_mm() / lettering.narrowest.mm);
    const double offset_mm = (limits_.stroke_mm() - lettering.narrowest.mm) / 2;
    std::string text = fmt::format(
        "Enlarge the text by a factor of {} (to {} mm), or widen its strokes by {} mm on each side (the letters bloat "
        "and their gaps narrow by {} mm), or take a face made for engraving, with even strokes instead of hairlines.",
        figure(factor, 2), figure(factor * lettering.line.height_mm, 1), figure(offset_mm, 2),
        figure(2 * offset_mm, 2));
    if (const double smaller_mm = fitting_nozzle_mm(lettering); smaller_mm > 0)
      text += fmt::format(" A nozzle of {} mm can lay the strokes as they are.", figure(smaller_mm, 2));
    return text;
  }

  /// The largest nozzle that can lay the narrowest stroke, where it is wide enough to be read; else 0.
  double fitting_nozzle_mm(const Lettering& lettering) const {
    // Nozzles that are sold.
    constexpr double nozzles_mm[] = {0.8, 0.6, 0.5, 0.4, 0.35, 0.3, 0.25, 0.2, 0.15};
    if (lettering.narrowest.mm < limits_.stroke.value) return 0;
    for (const double nozzle_mm : nozzles_mm)
      if (nozzle_mm < limits_.nozzle_mm && limits_.nozzle_ratio.value * nozzle_mm <= lettering.narrowest.mm)
        return nozzle_mm;
    return 0;
  }

  std::string lost_remedy(const Lettering& lettering) const {
    const Unlaid& unlaid = lettering.lost;
    double factor = 1;
    if (unlaid.blobs > 0) factor = limits_.blob_widths.value * unlaid.shortest_width_mm / unlaid.shortest_mm;
    if (unlaid.unmetered > 0) factor = std::max(factor, limits_.least_feed.value / unlaid.least_feed_mm);
    // Nobody makes a label so much larger for the sake of a dot.
    constexpr double largest_factor = 3;
    if (factor > largest_factor)
      return "Leave out dots and dashes this small, join them to the strokes beside them, or draw them larger.";
    return fmt::format(
        "Leave out dots and dashes this small, join them to the strokes beside them, or draw them {} times as large.",
        figure(rounded_up(factor), 2));
  }

  /// Where letters are dragged over or string: what to try, in this order, in keeping with what is said of travels and
  /// of the melt of the whole print.
  std::string between_glyphs(const Lettering& lettering) const {
    const GlyphPassages& passages = lettering.passages;
    if (passages.dragged == 0 && passages.open == 0) return "";
    std::vector<std::string> steps;
    if (passages.low > 0) {
      const double lift_mm = lift_to_try_mm(lettering.layer_height_mm);
      steps.push_back(fmt::format("Lift the nozzle by {} mm on travels between the glyphs{}.", figure(lift_mm, 1),
                                  passages.open > 0 ? ", which parts threads from fine strokes, too" : ""));
    }
    if (passages.open > 0) {
      const bool wears = passes_if_pulled(lettering) > most_passes;
      if (!wears) steps.push_back(pull_back_remedy(profile_.machine, pulled_mm_));
      if (std::string colder = temperature(lettering); !colder.empty()) steps.push_back(std::move(colder));
      if (wears) steps.push_back(sparing_pull_back(lettering));
    }
    if (steps.empty()) return "";
    std::string text;
    if (passages.open > 0)
      text = fmt::format(
          " {} through open air under pressure and {}{}",
          counted(passages.open, "of the travels between the glyphs goes", "of the travels between the glyphs go"),
          passages.open == 1 ? "draws a thread" : "draw threads", steps.size() > 1 ? "; try in this order:" : ".");
    for (const std::string& step : steps) text += " " + step;
    return text;
  }

  // Beyond so many gear passes filament begins to wear: common practice, as dense-retraction has it.
  static constexpr double most_passes = 30;
  // Flow that leaves a reserve, as excess-flow has it.
  static constexpr double reserve_share = 0.65;

  double pull_back_mm() const {
    if (!pulled_mm_.empty()) return pulled_mm_.median();
    return is_bowden(profile_.machine) ? PullBackLengths::usual_bowden_mm : PullBackLengths::usual_direct_mm;
  }

  static double feed_mm(const Lettering& lettering) {
    return lettering.passages.laid_mm / static_cast<double>(lettering.passages.all);
  }

  /// How often one point of the filament would pass the drive gear if it were pulled back between all glyphs.
  double passes_if_pulled(const Lettering& lettering) const {
    return 1 + 2 * pull_back_mm() / std::max(feed_mm(lettering), 1e-6);
  }

  std::string sparing_pull_back(const Lettering& lettering) const {
    return fmt::format(
        "Pull back last, and no more than {} mm: only {} mm of filament are laid from one to the next, and {} mm each "
        "time would take one stretch {} times through the drive gear, which wears it out.",
        figure(enough_mm_, 1), figure(feed_mm(lettering), 2), figure(pull_back_mm(), 1),
        figure(passes_if_pulled(lettering)));
  }

  /// Down to the middle of the material's range, as far as the filament still melts through.
  std::string temperature(const Lettering& lettering) const {
    const std::optional<Range> range = nozzle_range(profile_.filament);
    if (!range || !(lettering.nozzle_c > middle_c(*range))) return "";
    const double aim_c = middle_c(*range);
    const std::string now = figure(lettering.nozzle_c);
    const std::vector<MeltCandidate> candidates = melt_candidates(profile_);
    if (candidates.empty()) return "";
    const double needed_c = coldest_c(candidates, lettering.residence_s, reserve_share);
    const std::string layers = layers_between(lettering.first_layer, lettering.last_layer);
    if (needed_c <= aim_c)
      return fmt::format(
          "{} °C, the middle of the range, would string less than {} °C: the flow of {} melts through "
          "there, too.",
          figure(aim_c), now, layers);
    const double slower =
        speed_share_at(candidates, lettering.residence_s, lettering.flow_mm3_per_s, reserve_share, aim_c);
    const std::string slow_first =
        slower < 0.01 ? std::string("No speed allows less.")
                      : fmt::format("Only with {} at {} % of their speed may it be {} °C, the middle of the range.",
                                    layers, figure(std::floor(100 * slower)), figure(aim_c));
    if (needed_c < lettering.nozzle_c)
      return fmt::format(
          "Set the nozzle to {} °C instead of {}, but no colder: below that the flow of {} leaves the core of the "
          "filament without a reserve of heat. {}",
          figure(needed_c), now, layers, slow_first);
    return fmt::format(
        "Leave the nozzle at {} °C: any colder, the flow of {} leaves the core of the filament without a reserve of "
        "heat. {}",
        now, layers, slow_first);
  }

  std::string nozzle() const {
    const auto& diameter = profile_.machine.nozzle_diameter_mm;
    return fmt::format("a {} mm nozzle{}", figure(limits_.nozzle_mm, 2),
                       diameter.stated() ? "" : ", a guess; state it by --set machine.nozzle_diameter_mm=0.4");
  }

  const Profile& profile_;
  const Limits& limits_;
  const TypicalValue& pulled_mm_;
  double enough_mm_;
};

}  // namespace beadwise::checks::thin_stroke
