#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <deque>
#include <optional>
#include <string>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/wording.hpp"
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
           .source = "common practice: what a single layer shows is a section through something else"}}};
  return description;
}

namespace {

// Lines of lettering of two layers are the same where their boxes overlap by at least so much of the smaller.
constexpr double same_place_ratio = 0.6;
// The same line may be missing on a layer or two in between.
constexpr std::uint32_t layers_missing = 2;
constexpr std::size_t most_lines = 256;
// Nozzles that are sold, in mm.
constexpr double nozzles_mm[] = {0.8, 0.6, 0.5, 0.4, 0.35, 0.3, 0.25, 0.2, 0.15};

double overlap_ratio(const Box& a, const Box& b) {
  const double x = std::min(a.high.x, b.high.x) - std::max(a.low.x, b.low.x);
  const double y = std::min(a.high.y, b.high.y) - std::max(a.low.y, b.low.y);
  if (x <= 0 || y <= 0) return 0;
  const auto area = [](const Box& box) { return (box.high.x - box.low.x) * (box.high.y - box.low.y); };
  return x * y / std::min(area(a), area(b));
}

/// One line of lettering, through all its layers.
struct Lettering {
  LetteringLine line;  ///< as on the layer with most glyphs
  bool hole = false;
  Box box;
  std::uint32_t layers = 0;
  std::uint32_t first_layer = 0;
  std::uint32_t last_layer = 0;
  MeasuredPlace narrowest;
  double edge_mm = 0;
  double thin_edge_mm = 0;
  MeasuredPlace gap;
  std::uint32_t closing_gaps = 0;  ///< on the layer with most
  std::uint32_t broken = 0;        ///< likewise
  double bead_mm = 0;              ///< widest that bounds the narrowest gap
  std::uint64_t passages = 0;      ///< from glyph to glyph
  std::uint64_t pulled_back = 0;
  std::uint64_t low = 0;  ///< without lift
  Places places;
};

class ThinStroke final : public Check {
 public:
  explicit ThinStroke(const CheckContext& context)
      : context_(context),
        stroke_(context.limit("stroke_mm")),
        nozzle_ratio_(context.limit("nozzle_ratio")),
        nozzle_mm_(nozzle_mm_of(context.profile.machine)) {}

  void on_stack(const LayerStack& stack, Findings&) override {
    const std::vector<IndexedLayer> by_tool = layers_by_tool(stack.layer);
    if (by_tool.empty()) look_at(stack.layer);
    for (const IndexedLayer& layer : by_tool) look_at(layer);
  }

  void on_end(const JobSummary&, Findings& findings) override {
    for (const Lettering& lettering : lines_) {
      if (!is_lettering(lettering)) continue;
      if (const auto severity = severity_of(lettering)) findings.add(told(lettering, *severity));
    }
  }

 private:
  double limit_mm() const { return std::max(stroke_.value, nozzle_ratio_.value * nozzle_mm_); }

  void look_at(const IndexedLayer& layer) {
    GlyphPieces pieces = glyph_pieces(layer);
    if (pieces.pieces.empty()) return;
    const std::vector<LetteringLine> lines = find_lettering(pieces.pieces);
    if (lines.empty()) return;
    const std::vector<LetteringMeasure> measures =
        meter_.measure(layer, pieces, lines, {.stroke_mm = limit_mm(), .gap_beads = context_.limit("gap_beads").value});
    std::vector<Lettering*> met(lines.size(), nullptr);
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const bool hole = pieces.pieces[lines[i].pieces.front()].hole;
      met[i] = take_in(layer, lines[i], hole, box_of(pieces, lines[i]), measures[i]);
    }
    count_travels(layer, met);
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

  Lettering* same_line(const Layer& layer, bool hole, const Box& box) {
    for (Lettering& one : lines_) {
      const bool near = layer.number > one.last_layer && layer.number <= one.last_layer + 1 + layers_missing;
      if (one.hole == hole && near && overlap_ratio(one.box, box) >= same_place_ratio) return &one;
    }
    return nullptr;
  }

  Lettering* take_in(const IndexedLayer& layer, const LetteringLine& line, bool hole, const Box& box,
                     const LetteringMeasure& measure) {
    Lettering* lettering = same_line(layer.layer, hole, box);
    if (lettering == nullptr) {
      if (lines_.size() == most_lines) return nullptr;
      lettering = &lines_.emplace_back();
      lettering->line = line;
      lettering->hole = hole;
      lettering->first_layer = layer.layer.number;
    }
    if (line.glyphs > lettering->line.glyphs) lettering->line = line;
    lettering->box.add(box);
    ++lettering->layers;
    lettering->last_layer = layer.layer.number;
    lettering->edge_mm += measure.stroke_edge_mm;
    lettering->thin_edge_mm += measure.thin_edge_mm;
    lettering->closing_gaps = std::max(lettering->closing_gaps, measure.closing_gaps);
    lettering->broken = std::max(lettering->broken, measure.broken);
    if (measure.narrowest_stroke.mm < lettering->narrowest.mm) lettering->narrowest = measure.narrowest_stroke;
    if (measure.narrowest_gap.mm < lettering->gap.mm) {
      lettering->gap = measure.narrowest_gap;
      lettering->bead_mm = layer.layer.beads[measure.narrowest_gap.bead].width_mm;
    }
    add_places(layer.layer, measure, *lettering);
    return lettering;
  }

  void add_places(const Layer& layer, const LetteringMeasure& measure, Lettering& lettering) const {
    const auto add = [&](PlanePoint at, std::uint32_t bead, double value) {
      lettering.places.add({.line = layer.beads[bead].line,
                            .layer = layer.number,
                            .x_mm = at.x,
                            .y_mm = at.y,
                            .z_mm = layer.z_mm,
                            .has_position = true,
                            .value = value});
    };
    if (measure.narrowest_stroke.mm < limit_mm())
      add(measure.narrowest_stroke.at, measure.narrowest_stroke.bead, limit_mm() - measure.narrowest_stroke.mm);
    if (measure.closing_gaps > 0) add(measure.narrowest_gap.at, measure.narrowest_gap.bead, 0);
  }

  /// Ways from glyph to glyph of one line: whether the filament is pulled back, and the nozzle lifted.
  void count_travels(const IndexedLayer& layer, const std::vector<Lettering*>& lines) {
    const std::vector<Travel>& travels = layer.travels;
    for (std::size_t first = 0; first < travels.size();) {
      std::size_t last = first;
      bool pulled = false;
      double lowest_mm = 1e300;
      for (; last < travels.size() && travels[last].beads_before == travels[first].beads_before; ++last) {
        pulled = pulled || travels[last].owed_mm > 0 || travels[last].pulled_by_machine;
        lowest_mm = std::min({lowest_mm, travels[last].from_mm.z, travels[last].to_mm.z});
      }
      const std::uint32_t next = travels[first].beads_before;
      first = last;
      if (next == 0 || next >= layer.layer.beads.size()) continue;
      const std::int32_t line = meter_.line_of(layer, next - 1);
      const bool between = layer.island_of[next - 1] != layer.island_of[next];
      if (line < 0 || line != meter_.line_of(layer, next) || !between) continue;
      Lettering* lettering = lines[static_cast<std::size_t>(line)];
      if (lettering == nullptr) continue;
      ++lettering->passages;
      lettering->pulled_back += pulled ? 1 : 0;
      lettering->low += lowest_mm < layer.layer.z_mm + layer.layer.height_mm / 2 ? 1 : 0;
    }
  }

  bool is_lettering(const Lettering& lettering) const {
    return lettering.layers >= context_.limit("least_layers").value && lettering.edge_mm > 0;
  }

  static double per_glyph(const Lettering& lettering) {
    return static_cast<double>(lettering.closing_gaps) / static_cast<double>(lettering.line.glyphs);
  }

  bool has_thin_strokes(const Lettering& lettering) const { return lettering.narrowest.mm < limit_mm(); }

  std::optional<Severity> severity_of(const Lettering& lettering) const {
    const double thin_share = lettering.thin_edge_mm / lettering.edge_mm;
    const bool loses = has_thin_strokes(lettering) && thin_share >= context_.limit("thin_share_ratio").value;
    const bool runs_together = per_glyph(lettering) >= context_.limit("closing_gaps_ratio").value;
    if (loses || runs_together) return Severity::warning;
    if (has_thin_strokes(lettering) || lettering.closing_gaps > 0) return Severity::note;
    return std::nullopt;
  }

  Finding told(const Lettering& lettering, Severity severity) const {
    Finding finding;
    finding.check = context_.name;
    finding.severity = severity;
    finding.symptoms = {Symptom::illegible_text};
    finding.what = what(lettering);
    finding.why = why(lettering);
    finding.remedy = remedy(lettering);
    finding.key = fmt::format("{} lettering, {} glyphs, {} mm high", lettering.hole ? "sunk" : "raised",
                              lettering.line.glyphs, figure(lettering.line.height_mm, 0));
    const bool thin = has_thin_strokes(lettering);
    finding.measured = Measured{.value = thin ? lettering.narrowest.mm : lettering.gap.mm,
                                .limit = thin ? limit_mm() : context_.limit("gap_beads").value * lettering.bead_mm,
                                .unit = "mm",
                                .limit_from = stroke_.from};
    finding.places = lettering.places;
    return finding;
  }

  std::string what(const Lettering& lettering) const {
    const LetteringLine& line = lettering.line;
    std::string text =
        fmt::format("{} lettering of {} glyphs, {} mm high{}, at X {} to {}, Y {} to {}, in {}:",
                    lettering.hole ? "Sunk" : "Raised", line.glyphs, figure(line.height_mm, 1),
                    line.curved ? fmt::format(" on an arc of {} mm", figure(line.radius_mm, 0))
                    : line.angle_deg > 1 && line.angle_deg < 179 ? fmt::format(" at {}°", figure(line.angle_deg, 0))
                                                                 : std::string(),
                    figure(lettering.box.low.x, 0), figure(lettering.box.high.x, 0), figure(lettering.box.low.y, 0),
                    figure(lettering.box.high.y, 0), layers_between(lettering.first_layer, lettering.last_layer));
    if (has_thin_strokes(lettering))
      text += fmt::format(
          " strokes down to {} mm, {} % of their length narrower than {} mm.", figure(lettering.narrowest.mm, 2),
          figure(std::max(1.0, 100 * lettering.thin_edge_mm / lettering.edge_mm)), figure(limit_mm(), 2));
    if (lettering.closing_gaps > 0)
      text += fmt::format(" {} down to {} mm between strokes or inside them.",
                          counted(lettering.closing_gaps, "gap", "gaps"), figure(lettering.gap.mm, 2));
    if (lettering.broken > 0)
      text += fmt::format(" {} in the open, thinned to nothing: what goes on from there was too thin and is left out.",
                          counted(lettering.broken, "stroke ends", "strokes end"));
    return text;
  }

  std::string why(const Lettering& lettering) const {
    std::string text;
    if (has_thin_strokes(lettering))
      text = fmt::format(
          "A strand narrower than {} mm ({} of {}) breaks or does not stick, and strokes under {} mm are hard to read.",
          figure(nozzle_ratio_.value * nozzle_mm_, 2), figure(nozzle_ratio_.value, 2), nozzle(),
          figure(stroke_.value, 2));
    if (lettering.closing_gaps > 0)
      text += fmt::format("{}A gap narrower than {} of a bead closes, and letters run together.",
                          text.empty() ? "" : " ", figure(context_.limit("gap_beads").value, 2));
    return text;
  }

  std::string remedy(const Lettering& lettering) const {
    std::string text;
    const double height_mm = lettering.line.height_mm;
    if (has_thin_strokes(lettering)) {
      const double factor = std::ceil(20 * limit_mm() / lettering.narrowest.mm) / 20;
      const double offset_mm = (limit_mm() - lettering.narrowest.mm) / 2;
      text = fmt::format(
          "Enlarge the text by a factor of {} (to {} mm), or widen its strokes by {} mm on each side (the letters "
          "bloat "
          "and their gaps narrow by {} mm), or take a face made for engraving, with even strokes instead of hairlines.",
          figure(factor, 2), figure(factor * height_mm, 1), figure(offset_mm, 2), figure(2 * offset_mm, 2));
      if (const double smaller_mm = fitting_nozzle_mm(lettering); smaller_mm > 0)
        text += fmt::format(" A nozzle of {} mm can lay the strokes as they are.", figure(smaller_mm, 2));
    }
    if (lettering.closing_gaps > 0) {
      const double factor =
          std::ceil(20 * context_.limit("gap_beads").value * lettering.bead_mm / lettering.gap.mm) / 20;
      text +=
          fmt::format("{}Space the letters wider, or enlarge the text by a factor of {}, so that the gaps stay open.",
                      text.empty() ? "" : " ", figure(factor, 2));
    }
    return text + between_glyphs(lettering);
  }

  std::string between_glyphs(const Lettering& lettering) const {
    if (lettering.passages == 0) return "";
    std::string text = fmt::format(" Between the glyphs lead {}, {} of them with the filament pulled back",
                                   counted(lettering.passages, "travel", "travels"), lettering.pulled_back);
    if (lettering.low == 0) return text + ", all lifted.";
    return text +
           fmt::format(
               ", {} without lift: lift by a layer height there, so that the nozzle does not drag over fine strokes.",
               lettering.low);
  }

  /// The largest nozzle that can lay the narrowest stroke, where it is wide enough to be read; else 0.
  double fitting_nozzle_mm(const Lettering& lettering) const {
    if (lettering.narrowest.mm < stroke_.value) return 0;
    for (const double nozzle_mm : nozzles_mm)
      if (nozzle_mm < nozzle_mm_ && nozzle_ratio_.value * nozzle_mm <= lettering.narrowest.mm) return nozzle_mm;
    return 0;
  }

  std::string nozzle() const {
    const auto& diameter = context_.profile.machine.nozzle_diameter_mm;
    return fmt::format("a {} mm nozzle{}", figure(nozzle_mm_, 2),
                       diameter.stated() ? "" : ", a guess; state it by --set machine.nozzle_diameter_mm=0.4");
  }

  CheckContext context_;
  Limit stroke_;
  Limit nozzle_ratio_;
  double nozzle_mm_;
  LetteringMeter meter_;
  std::deque<Lettering> lines_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<ThinStroke>(context); }

}  // namespace beadwise::checks::thin_stroke
