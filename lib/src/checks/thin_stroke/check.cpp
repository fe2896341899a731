#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <deque>
#include <optional>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/wording.hpp"
#include "checks/thin_stroke/glyph_travels.hpp"
#include "checks/thin_stroke/letter_line.hpp"
#include "checks/thin_stroke/letter_marks.hpp"
#include "checks/thin_stroke/limits.hpp"
#include "checks/thin_stroke/sentences.hpp"
#include "checks/thin_stroke/upright_letters.hpp"
#include "model/layer_stack.hpp"
#include "model/lettering_measure.hpp"
#include "model/tool_layers.hpp"

namespace beadwise::checks::thin_stroke {

const Description& describe() {
  static const Description description{
      .needs = Needs::stack,
      .severities = {Severity::note, Severity::warning},
      .symptoms = {Symptom::illegible_text},
      .thresholds = {
          {.key = "stroke_mm",
           .built_in = 0.3,
           .unit = "mm",
           .meaning = "strokes of letters want at least this width to be read",
           .source = "common practice"},
          {.key = "nozzle_ratio",
           .built_in = 0.6,
           .unit = "ratio",
           .meaning = "a strand narrower than this share of the nozzle breaks or does not stick",
           .source = "common practice"},
          {.key = "thin_share_ratio",
           .built_in = 0.05,
           .unit = "ratio",
           .meaning = "the share of the strokes' length that has to be too narrow before it is warned of",
           .source = "common practice: one serif in twenty letters is not missed"},
          {.key = "gap_beads",
           .built_in = 0.5,
           .unit = "beads",
           .meaning = "a gap or a counter narrower than this many beads closes",
           .source = "common practice: a bead is pressed a few tenths of its width beyond where it is meant to end"},
          {.key = "closing_gaps_ratio",
           .built_in = 0.25,
           .unit = "gaps per glyph",
           .meaning = "so many closing gaps for each glyph are warned of",
           .source = "common practice: one letter in four that runs together makes a word hard to read"},
          {.key = "least_layers",
           .built_in = 2,
           .unit = "layers",
           .meaning = "lettering stands on at least so many layers",
           .source = "common practice: what a single layer shows is a section through something else"},
          {.key = "blob_widths",
           .built_in = 1,
           .unit = "widths",
           .meaning = "a stroke laid between two travels that is shorter than this many of its own widths is a blob",
           .source =
               "derived: the nozzle leaves a spot as wide as the bead; a stroke shorter than that has no direction"},
          {.key = "least_feed_mm",
           .built_in = 0.01,
           .unit = "mm",
           .meaning = "a stroke laid between two travels that takes less filament than this is not metered",
           .source = "derived: one of 3200 steps a turn (200 with 16 parts each) on a gear 34 mm around is 0.011 mm, "
                     "behind a reduction of 3 to 1 a third of that"},
          {.key = "note_lost_ratio",
           .built_in = 0.5,
           .unit = "strokes per glyph",
           .meaning = "so many strokes in one layer that are blobs or not metered, for each glyph, are worth knowing",
           .source = "common practice: fewer are the dots of i and j"},
          {.key = "warning_lost_ratio",
           .built_in = 1,
           .unit = "strokes per glyph",
           .meaning = "so many are warned of",
           .source = "common practice: a part missing from every letter is seen"},
          {.key = "width_step_ratio",
           .built_in = 1.5,
           .unit = "ratio",
           .meaning =
               "a stroke that gets so many times as wide, or as narrow, within a nozzle's bore, and its flow with "
               "it, has a sudden change of width",
           .source = "common practice: strokes of varying width are laid in steps of a tenth or two"},
          {.key = "note_steps_ratio",
           .built_in = 1,
           .unit = "steps per glyph",
           .meaning = "so many sudden changes of width in one layer, for each glyph, are worth knowing",
           .source = "common practice: fewer are not made out in a word"},
          {.key = "upright_layers",
           .built_in = 2,
           .unit = "layers",
           .meaning = "level strokes and gaps of letters on an upright face want at least so many layers",
           .source = "common practice: one layer more or less is what every wall shows"},
          {.key = "upright_beads",
           .built_in = 1.25,
           .unit = "beads",
           .meaning = "upright strokes that stand out of an upright face want to be so many beads wide",
           .source =
               "derived: the wall goes out along one side of a stroke and back along the other, both a bead wide; "
               "under one bead it is left out, and little above nothing lies between them"},
          {.key = "relief_mm",
           .built_in = 0.2,
           .unit = "mm",
           .meaning = "letters on an upright face that stand out, or are sunk, by less are not seen",
           .source = "common practice: walls are off by a tenth of a millimetre by themselves"},
          {.key = "relief_beads",
           .built_in = 0.5,
           .unit = "beads",
           .meaning = "relief of less than so many beads is worth knowing",
           .source = "derived: the edge of a step is round by half of a bead's width"}}};
  return description;
}

namespace {

// Lines of lettering of two layers are the same where their boxes overlap by at least so much of the smaller.
constexpr double same_place_ratio = 0.6;
// The same line may be missing on a layer or two in between.
constexpr std::uint32_t layers_missing = 2;
constexpr std::size_t most_lines = 256;
// What places are worth is told to a micrometre: equal layers stay in the order of the file.
constexpr double per_micrometre = 1000;

double overlap_ratio(const Box& a, const Box& b) {
  const double x = std::min(a.high.x, b.high.x) - std::max(a.low.x, b.low.x);
  const double y = std::min(a.high.y, b.high.y) - std::max(a.low.y, b.low.y);
  if (x <= 0 || y <= 0) return 0;
  const auto area = [](const Box& box) { return (box.high.x - box.low.x) * (box.high.y - box.low.y); };
  return x * y / std::min(area(a), area(b));
}

/// One line of lettering on one layer.
struct LineOnLayer {
  bool hole = false;
  Box box;
  LetteringMeasure measure;
  Unlaid unlaid;
  Lettering* lettering = nullptr;  ///< what it belongs to; none where there are too many
  bool is_worst = false;           ///< so far: its picture is to be drawn
};

class ThinStroke final : public Check {
 public:
  explicit ThinStroke(const CheckContext& context)
      : context_(context), limits_(context), travels_(context.profile.machine), upright_(context.name, limits_) {}

  void on_stack(const LayerStack& stack, Findings&) override {
    travels_.note_pulled(stack.layer);
    upright_.look_at(stack.layer);
    const std::vector<IndexedLayer> by_tool = layers_by_tool(stack.layer);
    if (by_tool.empty()) look_at(stack.layer);
    for (const IndexedLayer& layer : by_tool) look_at(layer);
  }

  void on_end(const JobSummary&, Findings& findings) override {
    for (const Lettering& lettering : lines_) {
      if (!is_lettering(lettering)) continue;
      if (const auto severity = severity_of(lettering)) findings.add(told(lettering, *severity));
    }
    upright_.tell(findings);
  }

 private:
  void look_at(const IndexedLayer& layer) {
    const GlyphPieces pieces = glyph_pieces(layer);
    if (pieces.pieces.empty()) return;
    const std::vector<LetteringLine> lines = find_lettering(pieces.pieces);
    if (lines.empty()) return;
    const std::vector<LetteringMeasure> measures =
        meter_.measure(layer, pieces, lines, {.stroke_mm = limits_.stroke_mm(), .gap_beads = limits_.gap_beads.value});
    on_layer_.assign(lines.size(), {});
    for (std::size_t i = 0; i < lines.size(); ++i) {
      on_layer_[i].hole = pieces.pieces[lines[i].pieces.front()].hole;
      on_layer_[i].box = box_of(pieces, lines[i]);
      on_layer_[i].measure = measures[i];
    }
    find_unlaid(layer);
    for (std::size_t i = 0; i < lines.size(); ++i) take_in(layer, lines[i], on_layer_[i]);
    count_travels(layer);
    draw(layer);
  }

  static Box box_of(const GlyphPieces& pieces, const LetteringLine& line) {
    Box box;
    for (const std::size_t piece : line.pieces)
      for (const PlaneSegment& segment : pieces.pieces[piece].lines) {
        box.add(Point{segment.from.x, segment.from.y, 0});
        box.add(Point{segment.to.x, segment.to.y, 0});
      }
    return box;
  }

  void find_unlaid(const IndexedLayer& layer) {
    std::vector<bool> wanted;
    for (const Track& track : layer.tracks) wanted.push_back(meter_.line_of(layer, track.first) >= 0);
    const auto unlaid_of = [&](std::uint32_t bead) -> Unlaid& {
      return on_layer_[static_cast<std::size_t>(meter_.line_of(layer, bead))].unlaid;
    };
    for (const LaidStroke& stroke : laid_strokes(layer, wanted))
      if (!stroke.enclosed) add_stroke(stroke, unlaid_of(stroke.first));
    for (const WidthStep& step : width_steps(layer, wanted, limits_.width_step.value, limits_.nozzle_mm))
      unlaid_of(step.bead).steps.push_back(step);
  }

  void add_stroke(const LaidStroke& stroke, Unlaid& unlaid) const {
    ++unlaid.strokes;
    const bool blob = stroke.length_mm < limits_.blob_widths.value * stroke.width_mm;
    const bool unmetered = stroke.filament_mm < limits_.least_feed.value;
    if (blob) {
      ++unlaid.blobs;
      if (stroke.length_mm < unlaid.shortest_mm) unlaid.shortest_width_mm = stroke.width_mm;
      unlaid.shortest_mm = std::min(unlaid.shortest_mm, stroke.length_mm);
    }
    if (unmetered) {
      ++unlaid.unmetered;
      unlaid.least_feed_mm = std::min(unlaid.least_feed_mm, stroke.filament_mm);
    }
    if (blob || unmetered) unlaid.lost.push_back(stroke);
  }

  Lettering* same_line(const Layer& layer, bool hole, const Box& box) {
    for (Lettering& one : lines_) {
      const bool near = layer.number > one.last_layer && layer.number <= one.last_layer + 1 + layers_missing;
      if (one.hole == hole && near && overlap_ratio(one.box, box) >= same_place_ratio) return &one;
    }
    return nullptr;
  }

  void take_in(const IndexedLayer& layer, const LetteringLine& line, LineOnLayer& found) {
    found.lettering = same_line(layer.layer, found.hole, found.box);
    if (found.lettering == nullptr) {
      if (lines_.size() == most_lines) return;
      found.lettering = &lines_.emplace_back();
      found.lettering->line = line;
      found.lettering->hole = found.hole;
      found.lettering->first_layer = layer.layer.number;
    }
    Lettering& lettering = *found.lettering;
    const LetteringMeasure& measure = found.measure;
    if (line.glyphs > lettering.line.glyphs) lettering.line = line;
    lettering.box.add(found.box);
    ++lettering.layers;
    lettering.last_layer = layer.layer.number;
    lettering.layer_height_mm = std::max(lettering.layer_height_mm, layer.layer.height_mm);
    lettering.edge_mm += measure.stroke_edge_mm;
    lettering.thin_edge_mm += measure.thin_edge_mm;
    lettering.closing_gaps = std::max(lettering.closing_gaps, measure.closing_gaps);
    lettering.broken = std::max(lettering.broken, measure.broken);
    if (found.unlaid.lost.size() > lettering.lost.lost.size()) lettering.lost = found.unlaid;
    if (found.unlaid.steps.size() > lettering.stepped.steps.size()) lettering.stepped = found.unlaid;
    if (measure.narrowest_stroke.mm < lettering.narrowest.mm) lettering.narrowest = measure.narrowest_stroke;
    if (measure.narrowest_gap.mm < lettering.gap.mm) {
      lettering.gap = measure.narrowest_gap;
      lettering.bead_mm = layer.layer.beads[measure.narrowest_gap.bead].width_mm;
    }
    add_places(layer.layer, found);
  }

  /// Places of what is worst on the layer, where nothing worse was found before.
  void add_places(const Layer& layer, LineOnLayer& found) const {
    const LetteringMeasure& measure = found.measure;
    const Unlaid& unlaid = found.unlaid;
    const bool thin = measure.narrowest_stroke.mm < limits_.stroke_mm();
    if (thin)
      add_place(layer, Fault::fine, measure.narrowest_stroke, limits_.stroke_mm() - measure.narrowest_stroke.mm, found);
    if (measure.closing_gaps > 0) {
      const double limit_mm = limits_.gap_beads.value * layer.beads[measure.narrowest_gap.bead].width_mm;
      add_place(layer, Fault::fine, measure.narrowest_gap, std::max(0.0, limit_mm - measure.narrowest_gap.mm), found);
    }
    const auto begin_of = [&](std::uint32_t bead) {
      const Point& from = layer.beads[bead].from_mm;
      return MeasuredPlace{0, {from.x, from.y}, bead};
    };
    const auto per_glyph = [&](std::size_t count) { return found.lettering->per_glyph(static_cast<double>(count)); };
    if (per_glyph(unlaid.lost.size()) >= limits_.note_lost.value)
      add_place(layer, Fault::lost, begin_of(unlaid.lost.front().first), per_glyph(unlaid.lost.size()), found);
    if (per_glyph(unlaid.steps.size()) >= limits_.note_steps.value)
      add_place(layer, Fault::steps, begin_of(unlaid.steps.front().bead), per_glyph(unlaid.steps.size()), found);
  }

  static void add_place(const Layer& layer, Fault fault, const MeasuredPlace& at, double value, LineOnLayer& found) {
    Lettering& lettering = *found.lettering;
    if (fault < lettering.fault) return;
    if (fault > lettering.fault) {
      lettering.fault = fault;
      lettering.places = {};
      lettering.worst = -1;
    }
    value = std::round(value * per_micrometre) / per_micrometre;
    lettering.places.add({.line = layer.beads[at.bead].line,
                          .layer = layer.number,
                          .x_mm = at.at.x,
                          .y_mm = at.at.y,
                          .z_mm = layer.z_mm,
                          .has_position = true,
                          .value = value});
    if (value <= lettering.worst) return;
    lettering.worst = value;
    found.is_worst = true;
  }

  void count_travels(const IndexedLayer& layer) {
    const auto lettering_of = [&](std::uint32_t bead) -> Lettering* {
      const std::int32_t line = meter_.line_of(layer, bead);
      return line < 0 ? nullptr : on_layer_[static_cast<std::size_t>(line)].lettering;
    };
    for (std::uint32_t i = 0; i < layer.layer.beads.size(); ++i) {
      Lettering* lettering = lettering_of(i);
      if (lettering == nullptr) continue;
      const Bead& bead = layer.layer.beads[i];
      lettering->passages.laid_mm += static_cast<double>(bead.filament_mm);
      if (bead.nozzle_c > 0) lettering->nozzle_c = std::fmax(lettering->nozzle_c, static_cast<double>(bead.nozzle_c));
    }
    bool leads_over_the_open = false;
    for_each_passage(layer, [&](const Passage& passage) {
      if (!passage.goal_bead || passage.goal_bead == passage.last_bead) return;
      Lettering* lettering = lettering_of(passage.last_bead);
      if (lettering == nullptr || lettering != lettering_of(*passage.goal_bead)) return;
      if (passage.goal_island == passage.start_island || *passage.goal_bead < passage.last_bead) return;
      const std::uint64_t before = lettering->passages.open;
      travels_.count(layer, passage, lettering->passages);
      leads_over_the_open = leads_over_the_open || lettering->passages.open > before;
    });
    if (leads_over_the_open) note_melt(layer.layer);
  }

  /// What the layer at hand asks of the melt, for all its lines.
  void note_melt(const Layer& layer) {
    const double residence_s =
        shortest_residence_s(layer, context_.profile.machine.melt_zone_mm.value.value_or(usual_melt_zone_mm));
    double flow_mm3_per_s = 0;
    for (const Bead& bead : layer.beads)
      flow_mm3_per_s = std::max(flow_mm3_per_s, bead.area_mm2 * static_cast<double>(bead.feedrate_mm_per_s));
    for (LineOnLayer& found : on_layer_) {
      if (found.lettering == nullptr) continue;
      found.lettering->residence_s = std::min(found.lettering->residence_s, residence_s);
      found.lettering->flow_mm3_per_s = std::max(found.lettering->flow_mm3_per_s, flow_mm3_per_s);
    }
  }

  void draw(const IndexedLayer& layer) {
    const auto is_worst = [](const LineOnLayer& found) { return found.is_worst; };
    if (std::none_of(on_layer_.begin(), on_layer_.end(), is_worst)) return;
    std::vector<std::int32_t> line_of_track;
    for (const Track& track : layer.tracks) {
      const std::int32_t line = meter_.line_of(layer, track.first);
      line_of_track.push_back(line >= 0 && on_layer_[static_cast<std::size_t>(line)].is_worst ? line : -1);
    }
    marks_.look_at(layer, std::move(line_of_track));
    for (std::size_t i = 0; i < on_layer_.size(); ++i) {
      const LineOnLayer& found = on_layer_[i];
      if (found.is_worst)
        found.lettering->marks =
            marks_.of_line(static_cast<std::int32_t>(i), found.hole, found.measure, found.unlaid, limits_);
    }
  }

  bool is_lettering(const Lettering& lettering) const {
    return lettering.layers >= limits_.least_layers.value && lettering.edge_mm > 0;
  }

  std::optional<Severity> severity_of(const Lettering& lettering) const {
    const bool loses =
        lettering.is_thin(limits_) && lettering.thin_edge_mm / lettering.edge_mm >= limits_.thin_share.value;
    const bool runs_together = lettering.per_glyph(lettering.closing_gaps) >= limits_.closing_gaps.value;
    if (loses || runs_together || lettering.lost_per_glyph() >= limits_.warning_lost.value) return Severity::warning;
    if (lettering.is_thin(limits_) || lettering.closing_gaps > 0) return Severity::note;
    if (lettering.lost_per_glyph() >= limits_.note_lost.value) return Severity::note;
    if (lettering.steps_per_glyph() >= limits_.note_steps.value) return Severity::note;
    return std::nullopt;
  }

  Finding told(const Lettering& lettering, Severity severity) const {
    const Sentences sentences(context_.profile, limits_, travels_.pulled_mm(), travels_.enough_mm());
    Finding finding;
    finding.check = context_.name;
    finding.severity = severity;
    finding.symptoms = {Symptom::illegible_text};
    finding.what = sentences.what(lettering);
    finding.why = sentences.why(lettering);
    finding.remedy = sentences.remedy(lettering);
    finding.key = fmt::format("{} lettering, {} glyphs, {} mm high", lettering.hole ? "sunk" : "raised",
                              lettering.line.glyphs, figure(lettering.line.height_mm, 0));
    finding.measured = measured(lettering);
    finding.places = lettering.places;
    finding.marks = lettering.marks;
    return finding;
  }

  Measured measured(const Lettering& lettering) const {
    if (lettering.is_thin(limits_)) {
      const bool by_eye = limits_.stroke_mm() == limits_.stroke.value;
      return {.value = lettering.narrowest.mm,
              .limit = limits_.stroke_mm(),
              .unit = "mm",
              .limit_from = by_eye ? limits_.stroke.from : limits_.nozzle_ratio.from};
    }
    if (lettering.closing_gaps > 0)
      return {.value = lettering.gap.mm,
              .limit = limits_.gap_beads.value * lettering.bead_mm,
              .unit = "mm",
              .limit_from = limits_.gap_beads.from};
    if (lettering.fault == Fault::lost && lettering.lost_per_glyph() >= limits_.note_lost.value)
      return {.value = lettering.lost_per_glyph(),
              .limit = limits_.note_lost.value,
              .unit = std::string("strokes per glyph"),
              .limit_from = limits_.note_lost.from};
    return {.value = lettering.steps_per_glyph(),
            .limit = limits_.note_steps.value,
            .unit = std::string("steps per glyph"),
            .limit_from = limits_.note_steps.from};
  }

  // Of a machine that nobody described; the profile has the same.
  static constexpr double usual_melt_zone_mm = 20;

  CheckContext context_;
  Limits limits_;
  LetteringMeter meter_;
  LetterMarks marks_;
  GlyphTravels travels_;
  UprightLetters upright_;
  std::vector<LineOnLayer> on_layer_;  ///< of the layer at hand
  std::deque<Lettering> lines_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<ThinStroke>(context); }

}  // namespace beadwise::checks::thin_stroke
