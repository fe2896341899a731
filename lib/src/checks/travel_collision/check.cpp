#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <span>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/standing_print.hpp"
#include "checks/support/wording.hpp"
#include "model/bead_path.hpp"
#include "model/layer_stack.hpp"

namespace beadwise::checks::travel_collision {

const Description& describe() {
  static const Description description{
      .needs = Needs::stack,
      .severities = {Severity::error},
      .symptoms = {Symptom::knocked_loose},
      .thresholds = {
          {.key = "depth_mm",
           .built_in = 0.3,
           .unit = "mm",
           .meaning = "the nozzle goes so far below the top of what stands there",
           .source = "common practice: plate, belts and a print that is still warm give way by a tenth or two of a "
                     "millimetre, and prime lines lie that much higher than a first layer"},
          {.key = "length_mm",
           .built_in = 0.4,
           .unit = "mm",
           .meaning = "along so much of its way",
           .source = "derived: a wall of one bead, crossed squarely, in cells of half a millimetre that are looked at "
                     "twice"},
          {.key = "layers",
           .built_in = 3,
           .unit = "layers",
           .meaning = "what stands there has at least so many layers",
           .source = "common practice: skirts and prime lines have one or two, and what is pushed out on the way up "
                     "hangs down"},
          {.key = "machine_lift_mm",
           .built_in = 2,
           .unit = "mm",
           .meaning = "while the machine itself pulls the filament back, it may lift the nozzle so far unseen",
           .source = "common practice: a lift set in the machine is a fraction of a millimetre"}}};
  return description;
}

namespace {

// A bead in an arc is looked at along so many chords of a full turn.
constexpr double chords_per_turn = 48;

/// What stands in the way of a motion that is looked at piece by piece.
void add(const Obstacle& piece, Obstacle& whole) {
  const double length_mm = whole.length_mm + piece.length_mm;
  if (piece.deepest_mm > whole.deepest_mm) whole = piece;
  whole.length_mm = length_mm;
}

/// Motions of one kind that run into what is printed.
struct Hits {
  Places places;
  Obstacle deepest;
  std::uint64_t line = 0;
  std::uint32_t layer = 0;
  double highest_mm = 0;  ///< of all that stands in the way

  void add(const Obstacle& obstacle, std::uint64_t on_line, std::uint32_t in_layer) {
    const Point& at = obstacle.at_mm;
    highest_mm = std::max(highest_mm, at.z + obstacle.deepest_mm);
    places.add({.line = on_line,
                .layer = in_layer,
                .x_mm = at.x,
                .y_mm = at.y,
                .z_mm = at.z,
                .has_position = true,
                .value = obstacle.deepest_mm});
    if (obstacle.deepest_mm <= deepest.deepest_mm) return;
    deepest = obstacle;
    line = on_line;
    layer = in_layer;
  }
};

class TravelCollision final : public Check {
 public:
  explicit TravelCollision(const CheckContext& context)
      : name_(context.name),
        depth_(context.limit("depth_mm")),
        length_mm_(context.limit("length_mm").value),
        layers_(static_cast<std::uint32_t>(std::clamp(context.limit("layers").value, 1.0, most_layers))),
        machine_lift_mm_(context.limit("machine_lift_mm").value) {}

  void on_moves(const MoveBatch& batch, Findings&) override { print_.on_moves(batch); }

  void on_stack(const LayerStack& stack, Findings&) override {
    const Layer& layer = stack.layer.layer;
    print_.forget_before(layer.first_line);
    const double top_mm = stack.before.highest_mm();
    const std::vector<Travel>& travels = stack.layer.travels;
    for (auto travel = travels.begin(); travel != travels.end();) {
      // An arc is several travels of one line.
      const auto end = std::find_if(travel, travels.end(), [&](const Travel& one) { return one.line != travel->line; });
      judge(stack, {travel, end}, top_mm);
      travel = end;
    }
    if (layer.box_mm.low.z + depth_.value >= top_mm) return;
    for (const Bead& bead : layer.beads) judge(stack, bead);
  }

  void on_end(const JobSummary&, Findings& findings) override {
    if (!travels_.places.empty()) findings.add(finding_of_travels());
    if (!beads_.places.empty()) findings.add(finding_of_beads());
  }

 private:
  static constexpr double most_layers = 1e6;

  void judge(const LayerStack& stack, std::span<const Travel> pieces, double top_mm) {
    const double margin_mm = depth_.value + (pieces.front().pulled_by_machine ? machine_lift_mm_ : 0);
    Obstacle whole;
    for (const Travel& piece : pieces)
      if (std::min(piece.from_mm.z, piece.to_mm.z) + margin_mm < top_mm)
        add(stack.before.over(piece.from_mm, piece.to_mm, margin_mm, layers_), whole);
    if (whole.length_mm < length_mm_ || !print_.known_on(pieces.front().line)) return;
    // What was printed of its own layer before it stands there too; the place is known to half a cell.
    const Layer& layer = stack.layer.layer;
    const bool layer_done = pieces.front().beads_before >= layer.beads.size();
    if (layer_done && stack.layer.index.covers({whole.at_mm.x, whole.at_mm.y}, TopSurface::Grid::cell_mm / 2))
      whole.deepest_mm = std::max(whole.deepest_mm, layer.z_mm - whole.at_mm.z);
    travels_.add(whole, pieces.front().line, layer.number);
  }

  void judge(const LayerStack& stack, const Bead& bead) {
    const Layer& layer = stack.layer.layer;
    const double chords = chords_of(bead, layer);
    Obstacle whole;
    Point from = bead.from_mm;
    for (double chord = 1; chord <= chords; ++chord) {
      const Point to = chord == chords ? bead.to_mm : point_on_bead(bead, layer.arcs, chord / chords);
      add(stack.before.over(from, to, depth_.value, layers_), whole);
      from = to;
    }
    if (whole.length_mm >= length_mm_ && print_.known_on(bead.line)) beads_.add(whole, bead.line, layer.number);
  }

  static double chords_of(const Bead& bead, const Layer& layer) {
    if (bead.arc < 0) return 1;
    const double turns = std::abs(layer.arcs[static_cast<std::size_t>(bead.arc)].sweep_rad) / (2 * std::numbers::pi);
    return std::clamp(std::ceil(turns * chords_per_turn), 1.0, chords_per_turn);
  }

  Finding finding_of(const Hits& hits) const {
    Finding finding;
    finding.check = name_;
    finding.severity = Severity::error;
    finding.symptoms = {Symptom::knocked_loose};
    finding.measured =
        Measured{.value = hits.deepest.deepest_mm, .limit = depth_.value, .unit = "mm", .limit_from = depth_.from};
    finding.places = hits.places;
    finding.why =
        "The nozzle runs into the side of something that has set: it tears the part off the plate, breaks it, or loses "
        "its own place, and everything after is laid beside where it belongs. Hands off while it moves.";
    return finding;
  }

  /// "at Z 0.5 through what stands up to Z 4.2 there (line 1203)"
  static std::string where(const Hits& hits) {
    const Obstacle& deepest = hits.deepest;
    return fmt::format("at Z {} through what stands up to Z {} (line {}), for {} mm", figure(deepest.at_mm.z, 2),
                       figure(deepest.at_mm.z + deepest.deepest_mm, 2), hits.line, figure(deepest.length_mm, 1));
  }

  Finding finding_of_travels() const {
    Finding finding = finding_of(travels_);
    const std::uint64_t count = travels_.places.count();
    finding.what = count == 1 ? fmt::format("A travel goes {}.", where(travels_))
                              : fmt::format("{} travels go through what is already printed; the deepest {}.", count,
                                            where(travels_));
    finding.remedy = fmt::format(
        "Let the head rise above Z {} before it sets out, and come down where it arrives, not before: line {} first. "
        "Objects printed one after another want that on each way from one to the next; printed together, layer by "
        "layer, they do without.",
        figure(std::ceil(travels_.highest_mm + 1), 0), travels_.places.first_line());
    finding.key = "travel";
    return finding;
  }

  Finding finding_of_beads() const {
    Finding finding = finding_of(beads_);
    const std::uint64_t count = beads_.places.count();
    finding.what = count == 1 ? fmt::format("A bead is laid {}.", where(beads_))
                              : fmt::format("{} beads are laid through what is already printed; the deepest {}.", count,
                                            where(beads_));
    finding.remedy = fmt::format(
        "Look at the heights commanded before line {}: either one is wrong, or two objects that are printed one after "
        "another stand in the same place. Set them apart, print them together, layer by layer, or slice the job anew.",
        beads_.places.first_line());
    finding.key = "bead";
    return finding;
  }

  std::string name_;
  Limit depth_;
  double length_mm_;
  std::uint32_t layers_;
  double machine_lift_mm_;
  StandingPrint print_;
  Hits travels_;
  Hits beads_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<TravelCollision>(context); }

}  // namespace beadwise::checks::travel_collision
