#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/unsupported_bead/limits.hpp"
#include "checks/unsupported_bead/run_view.hpp"
#include "checks/unsupported_bead/sentences.hpp"
#include "checks/unsupported_bead/spots.hpp"
#include "checks/unsupported_bead/underlay.hpp"
#include "model/bare_runs.hpp"
#include "model/bead_support.hpp"
#include "model/overhang_memory.hpp"
#include "model/role_kinds.hpp"
#include "model/track_samples.hpp"

namespace beadwise::checks::unsupported_bead {

const Description& describe() {
  static const Description description{
      .needs = Needs::stack,
      .severities = {Severity::note, Severity::warning},
      .symptoms = {Symptom::sagging},
      .thresholds = {
          {.key = "note_share_ratio",
           .built_in = 0.5,
           .unit = "ratio",
           .meaning = "a bead of whose width less is carried is worth knowing",
           .source = "derived: a wall that leans by 48° with beads of 0.45 by 0.2 mm; published: up to 45° prints "
                     "(Mazlan et al. 2020, J. Adv. Ind. Technol. Appl., pp. 38-47)"},
          {.key = "least_share_ratio",
           .built_in = 0.2,
           .unit = "ratio",
           .meaning = "a bead of whose width less is carried hangs in the air",
           .source = "derived: a wall that leans by 61° with the same beads; common practice"},
          {.key = "path_mm",
           .built_in = 2,
           .unit = "mm",
           .meaning = "over so much of the path, along consecutive beads, before it counts",
           .source = "common practice: what is shorter is held by the beads before and after it"},
          {.key = "overhang_mm",
           .built_in = 1.5,
           .unit = "mm",
           .meaning = "so far may beads that lie side by side hang out in one layer",
           .source = "allowable overhang length of 0.5 to 1.5 mm in a pass/fail study of printed features (Mazlan et "
                     "al. 2020)"},
          {.key = "lean_mm",
           .built_in = 3,
           .unit = "mm",
           .meaning = "so far may layers lead out one over the other that hang on the beads beside them",
           .source =
               "common practice: round bottoms of a few millimetres print, if not well; a flank of 70° as high as "
               "one millimetre shows"},
          {.key = "bridge_mm",
           .built_in = 25,
           .unit = "mm",
           .meaning = "a longer bridge sags",
           .source = "common practice: 20 to 30 mm with a strong fan"},
          {.key = "still_air_bridge_mm",
           .built_in = 10,
           .unit = "mm",
           .meaning = "a longer bridge wants the fan, and an ordinary speed",
           .source = "common practice: 5 to 10 mm print in any case"},
          {.key = "short_bridge_mm",
           .built_in = 5,
           .unit = "mm",
           .meaning = "a shorter bridge is not worth a word",
           .source = "common practice, the same"},
          {.key = "slot_mm",
           .built_in = 10,
           .unit = "mm",
           .meaning = "over hollows and slots no wider than this, what leans in is not counted",
           .source = "common practice: holes across a part print without support up to about 10 mm"},
          {.key = "fan_ratio",
           .built_in = 0.1,
           .unit = "ratio",
           .meaning = "less is no fan",
           .source = "common practice"},
          {.key = "bridge_speed_mm_per_s",
           .built_in = 120,
           .unit = "mm/s",
           .meaning = "a bridge laid faster is drawn thin or tears",
           .source = "common practice: bridges are laid at 10 to 60 mm/s; nobody means twice that"},
          {.key = "support_gap_mm",
           .built_in = 0.3,
           .unit = "mm",
           .meaning = "what was printed no farther than this below a bead carries it",
           .source = "common practice: supports are left so far below what they carry, to come off"}}};
  return description;
}

namespace {

// A sliver no longer than this that lies a bead's width beside others sticks to them.
constexpr double sliver_mm = 10;
constexpr double most_of_it = 0.5;

bool is_left_out(BeadRole role) { return is_apart(role) || role == BeadRole::ironing || role == BeadRole::gap_fill; }

bool is_filling(BeadRole role) { return is_fill(role) || role == BeadRole::bridge; }

bool carries_later(BeadRole role) { return is_support(role) || role == BeadRole::raft; }

/// A station of an outline that hangs, with the piece that it lies on.
struct Hanging {
  SupportStation station;
  std::uint32_t piece = 0;
};

/// Consecutive stations of one track.
struct Chain {
  std::size_t first = 0;
  std::size_t last = 0;
  std::uint32_t track = 0;
};

/// What an island is made of; the outermost beads tell of all that lies beside them.
struct IslandState {
  bool dense = false;  ///< beads side by side all over it
  bool has_part = false;
  bool has_outline = false;
  bool has_walls = false;
  bool carried = false;
  bool sticks = false;         ///< to beads of another island beside it
  std::uint32_t stations = 0;  ///< of one that nothing carries
  std::uint32_t over_support = 0;
};

class UnsupportedBead final : public Check {
 public:
  explicit UnsupportedBead(const CheckContext& context)
      : context_(context),
        limits_(context),
        fan_(context.profile.filament.material),
        nozzle_mm_(nozzle_mm_of(context.profile.machine)),
        runs_of_track_(support_),
        underlay_(support_, limits_),
        widths_known_(!context.profile.machine.e_unit.known() || *context.profile.machine.e_unit != EUnit::neither) {}

  void on_moves(const MoveBatch& batch, Findings&) override {
    for (const Event& event : batch.events) fan_is_set_ = fan_is_set_ || event.kind == EventKind::fan_set;
  }

  void on_stack(const LayerStack& stack, Findings&) override {
    if (!widths_known_ || stack.layer.layer.on_plate) return;
    stack_ = &stack;
    if (stack.below.empty() && is_wedge()) return;
    support_.look_at(stack);
    underlay_.look_at(stack);
    view_.look_at(stack.layer);
    runs_.clear();
    hanging_.clear();
    chains_.clear();
    take_stock();
    for (std::uint32_t track = 0; track < layer().tracks.size(); ++track) look_along(track);
    judge_islands();
    in_bridge_.assign(runs_.empty() && chains_.empty() ? 0 : layer().index.footprints().size(), false);
    for (const BareRun& run : runs_)
      if (island_is_carried(run.track)) judge_run(run);
    for (const BareRun& run : runs_)
      if (island_is_carried(run.track) && is_within_walls(run.track) && !is_straight(run)) judge_tied(run);
    for (const Chain& chain : chains_)
      if (island_is_carried(chain.track)) judge_chain(chain);
  }

  void on_end(const JobSummary& job, Findings& findings) override {
    if (job.extruder_switched) return;
    regions_.forgive_single_strands();
    const Sentences sentences(context_.name, limits_, fan_, fan_is_set_);
    for (std::size_t kind = 0; kind < kinds; ++kind)
      for (const Region& region : regions_.take(static_cast<Kind>(kind))) findings.add(sentences.about(region));
  }

  std::optional<std::string> skipped() const override {
    if (widths_known_) return std::nullopt;
    return "E has no plausible reading, so nobody knows how wide the beads are";
  }

 private:
  const IndexedLayer& layer() const { return stack_->layer; }
  double z_mm() const { return layer().layer.z_mm; }
  const Footprint& piece_at(std::uint32_t piece) const { return layer().index.footprints()[piece]; }
  const Bead& bead_of(std::uint32_t piece) const { return layer().layer.beads[piece_at(piece).bead]; }
  BeadRole role_of(std::uint32_t track) const {
    const std::uint32_t bead = layer().tracks[track].first;
    const BeadRole role = layer().roles[bead];
    const bool is_guess = layer().layer.beads[bead].role == BeadRole::unknown;
    return is_guess && role == BeadRole::support && islands_[island_of(track)].dense ? BeadRole::solid_infill : role;
  }
  std::uint32_t island_of(std::uint32_t track) const { return layer().island_of[layer().tracks[track].first]; }
  bool island_is_carried(std::uint32_t track) const { return islands_[island_of(track)].carried; }
  FootprintRun pieces_of(std::uint32_t track) const {
    return footprints_of(layer().index, layer().tracks[track].first, layer().tracks[track].count);
  }

  /// The first and the last turn of a spiral have no one height: they lie on something, but no layer lies below them.
  bool is_wedge() const {
    constexpr std::size_t looks = 64;
    const std::vector<Footprint>& pieces = layer().index.footprints();
    const std::size_t step = std::max<std::size_t>(1, pieces.size() / looks);
    std::size_t looked = 0;
    std::size_t lies = 0;
    for (std::size_t i = step / 2; i < pieces.size(); i += step, ++looked)
      if (stack_->before.at(on_piece(pieces[i], 0.5)) >= z_mm() - nozzle_mm_) ++lies;
    return 2 * lies > looked;
  }

  /// Strokes without any outline may be a support, whose lines lie apart, or a part of strokes alone.
  bool is_dense(const Island& island) const {
    // A disc fills 79 % of its box.
    constexpr double disc_ratio = 0.75;
    const double width_mm = layer().layer.beads[island.first].width_mm;
    const Box& box = island.box_mm;
    return island.length_mm * width_mm >
           disc_ratio * (box.high.x - box.low.x + width_mm) * (box.high.y - box.low.y + width_mm);
  }

  void take_stock() {
    islands_.assign(layer().islands.size(), {});
    for (std::uint32_t i = 0; i < islands_.size(); ++i) islands_[i].dense = is_dense(layer().islands[i]);
    for (std::uint32_t track = 0; track < layer().tracks.size(); ++track) {
      const BeadRole role = role_of(track);
      if (is_left_out(role)) continue;
      IslandState& island = islands_[island_of(track)];
      island.has_part = true;
      if (role == BeadRole::outer_perimeter) island.has_outline = true;
      if (!is_filling(role)) island.has_walls = true;
    }
  }

  /// Whether a track is looked at bead by bead, whatever a coarse look tells.
  bool is_outermost(std::uint32_t track) const {
    const BeadRole role = role_of(track);
    if (is_filling(role)) return false;
    // Parts of an outline that hang over are often named apart from it.
    return role != BeadRole::perimeter || layer().tracks[track].boundary || !islands_[island_of(track)].has_outline;
  }

  /// Of fill within walls only bridges count: the walls tell of all else.
  bool is_within_walls(std::uint32_t track) const {
    return is_filling(role_of(track)) && islands_[island_of(track)].has_walls;
  }

  void look_along(std::uint32_t track) {
    const BeadRole role = role_of(track);
    IslandState& island = islands_[island_of(track)];
    if (is_left_out(role)) {
      // A support or a brim that hangs is not this check's business; what it touches lies on it.
      if (role != BeadRole::gap_fill) island.carried = true;
      if (carries_later(role)) underlay_.raise(pieces_of(track));
      return;
    }
    const bool carried = is_outermost(track) ? look_along_outline(track) : look_coarsely_along(track);
    island.carried = island.carried || carried;
  }

  /// Narrower than high, it does not lie flat, and nobody knows where it lies: `implausible-bead` tells of those.
  bool is_strand(std::uint32_t piece) const { return 2 * piece_at(piece).half_mm() < layer().layer.height_mm; }

  /// Whether anything carries the track.
  bool look_coarsely_along(std::uint32_t track) {
    const double shortest_mm = role_of(track) == BeadRole::infill ? limits_.slot_mm : limits_.short_bridge_mm;
    const auto passes = [&](std::uint32_t piece) {
      return is_strand(piece) || support_.mostly_carried_along(piece_at(piece), shortest_mm);
    };
    if (is_within_walls(track)) return runs_of_track_.add(layer(), track, passes, runs_);
    const FootprintRun pieces = pieces_of(track);
    const bool carried = std::all_of(pieces.begin(), pieces.end(), [&](const Footprint& piece) {
      return support_.mostly_carried_along(piece, shortest_mm);
    });
    return carried || look_along_outline(track);
  }

  /// The same; keeps what hangs.
  bool look_along_outline(std::uint32_t track) {
    Chain chain{.first = hanging_.size(), .last = hanging_.size(), .track = track};
    const auto passes = [&](std::uint32_t piece) {
      if (!is_strand(piece) && !support_.carried_along(piece_at(piece))) return take_stations(piece, chain);
      close(chain);
      return true;
    };
    const bool carried = runs_of_track_.add(layer(), track, passes, runs_);
    close(chain);
    return carried;
  }

  /// Whether the piece lies on something all along, if only with its edge.
  bool take_stations(std::uint32_t piece, Chain& chain) {
    stations_.clear();
    support_.add_stations(piece_at(piece), stations_);
    bool touches = true;
    for (const SupportStation& station : stations_) {
      touches = touches && station.share > 0;
      if (station.share < limits_.note_share.value)
        hanging_.push_back({station, piece});
      else
        close(chain);
    }
    return touches;
  }

  void close(Chain& chain) {
    chain.last = hanging_.size();
    if (chain.last > chain.first) chains_.push_back(chain);
    chain.first = chain.last;
  }

  // Islands.

  void judge_islands() {
    const auto hangs = [](const IslandState& island) { return island.has_part && !island.carried; };
    if (std::none_of(islands_.begin(), islands_.end(), hangs)) return;
    look_around_islands();
    for (const BareRun& run : runs_) {
      IslandState& island = islands_[island_of(run.track)];
      if (run.anchored && !island.sticks) island.carried = true;
    }
    for (std::uint32_t i = 0; i < islands_.size(); ++i) {
      const Island& island = layer().islands[i];
      if (!hangs(islands_[i]) || islands_[i].sticks || island.length_mm <= limits_.path_mm.value) continue;
      // Part of it on a support is enough: its lines lie apart.
      constexpr double enough = 0.25;
      if (islands_[i].over_support > enough * islands_[i].stations) continue;
      regions_.add(spot_of(island));
    }
  }

  void look_around_islands() {
    for (const Chain& chain : chains_) {
      IslandState& island = islands_[island_of(chain.track)];
      if (island.carried) continue;
      for (std::size_t i = chain.first; i < chain.last; ++i, ++island.stations)
        if (underlay_.is_over_support(hanging_[i].station.at, hanging_[i].station.across)) ++island.over_support;
    }
    for (const Footprint& piece : layer().index.footprints()) {
      const std::uint32_t at = layer().island_of[piece.bead];
      IslandState& island = islands_[at];
      if (island.carried || island.sticks || layer().islands[at].length_mm > sliver_mm) continue;
      layer().index.near(piece.from(), piece.to(), 2 * piece.half_mm(), [&](const Footprint& other) {
        if (island.sticks || layer().island_of[other.bead] == at) return;
        const double reach_mm = 3 * piece.half_mm() + other.half_mm();
        island.sticks = squared_distance_mm2(piece.from(), piece.to(), other.from(), other.to()) <= reach_mm * reach_mm;
      });
    }
  }

  Spot spot_of(const Island& island) const {
    Spot spot;
    spot.kind = Kind::island;
    spot.box_mm = island.box_mm;
    spot.path_mm = island.length_mm;
    spot.area_mm2 = island.laid_mm3 / layer().layer.height_mm;
    const Bead& bead = layer().layer.beads[island.first];
    spot.place = place_at(bead, {bead.from_mm.x, bead.from_mm.y}, island.length_mm);
    return spot;
  }

  Place place_at(const Bead& bead, PlanePoint at, double value) const {
    return {.line = bead.line,
            .layer = layer().layer.number,
            .x_mm = at.x,
            .y_mm = at.y,
            .z_mm = z_mm(),
            .has_position = true,
            .value = value};
  }

  // Bridges.

  /// From one place that carries to another.
  bool is_straight(const BareRun& run) const {
    return run.anchored && run.bow_mm <= 2 * piece_at(run.first_piece).half_mm();
  }

  void judge_run(const BareRun& run) {
    if (!is_straight(run)) return;
    const bool is_short = run.span_mm() < limits_.short_bridge_mm;
    const bool within_walls = is_within_walls(run.track);
    if (is_short && within_walls) return;
    if (!within_walls) {
      // Laid along what carries, it is no bridge but an overhang.
      if (lies_along(run)) return;
      view_.each_part(run, [&](std::uint32_t piece, double, double) { in_bridge_[piece] = true; });
    }
    if (!is_short) add_bridge(run);
  }

  /// Where it is hidden inside or in a narrow slot, over a support or over nothing.
  void add_bridge(const BareRun& run) {
    const double span_mm = run.span_mm();
    const std::vector<Sample>& samples = view_.samples(run);
    const auto mostly = [&](auto&& holds) { return share_of(samples, holds) > most_of_it; };
    const bool hidden = mostly([&](const Sample& sample) { return support_.inside_below(sample.at); });
    if (hidden && span_mm <= limits_.slot_mm) return;
    if (!hidden && mostly([&](const Sample& sample) { return underlay_.is_over_support(sample.at, sample.across); }))
      return;
    const double slot_mm = typical_slot_mm(samples);
    const bool narrow = slot_mm <= limits_.slot_mm;
    if (slot_mm <= limits_.short_bridge_mm || (narrow && span_mm <= limits_.slot_mm)) return;
    Spot spot = view_.spot_of(run);
    spot.put_at(place_at(bead_of(run.first_piece), run.from, span_mm), 2 * piece_at(run.first_piece).half_mm());
    // Where it is hidden inside nobody sees that it hangs, unless it hangs far.
    spot.kind = narrow ? Kind::bridge : kind_of_bridge(spot, hidden);
    regions_.add(spot);
  }

  /// Fill between bridges hangs on them: strokes laid the long way over a gap, whose ends nothing else carries.
  void judge_tied(const BareRun& run) {
    view_.each_part(run, [&](std::uint32_t piece, double from, double to) {
      const double length_mm = (to - from) * piece_length_mm(piece_at(piece));
      if (length_mm < limits_.short_bridge_mm) return;
      BareRun stroke = run;
      stroke.first_piece = stroke.last_piece = piece;
      stroke.first_share = from;
      stroke.last_share = to;
      stroke.from = on_piece(piece_at(piece), from);
      stroke.to = on_piece(piece_at(piece), to);
      stroke.ends_mm = 0;
      if (touches_bridge(stroke.from, piece) && touches_bridge(stroke.to, piece)) add_bridge(stroke);
    });
  }

  bool touches_bridge(PlanePoint end, std::uint32_t piece) const {
    const double reach_mm = BareRuns::anchor_widths * 2 * piece_at(piece).half_mm();
    const Footprint* pieces = layer().index.footprints().data();
    bool found = false;
    layer().index.near(end, end, reach_mm, [&](const Footprint& other) {
      if (found || !in_bridge_[static_cast<std::size_t>(&other - pieces)]) return;
      found = squared_distance_mm2(end, other.from(), other.to()) <= reach_mm * reach_mm;
    });
    return found;
  }

  /// The widest of the narrower half of its places.
  double typical_slot_mm(const std::vector<Sample>& samples) {
    widths_mm_.clear();
    for (const Sample& sample : samples) widths_mm_.push_back(underlay_.slot_width_mm(sample.at, sample.across));
    const auto middle = widths_mm_.begin() + std::ssize(widths_mm_) / 2;
    std::nth_element(widths_mm_.begin(), middle, widths_mm_.end());
    return middle == widths_mm_.end() ? 0 : *middle;
  }

  /// Whether a run lies along what carries, rather than from one place that does to another.
  bool lies_along(const BareRun& run) {
    const double most_mm = limits_.overhang_mm.value - piece_at(run.first_piece).half_mm();
    const double along = share_of(view_.samples(run), [&](const Sample& sample) {
      const BeadSupport::Nearest nearest = support_.nearest(sample.at, most_mm);
      if (nearest.distance_mm >= most_mm) return false;
      const double dx = nearest.middle.x - sample.at.x;
      const double dy = nearest.middle.y - sample.at.y;
      return std::abs(dx * sample.across.x + dy * sample.across.y) >
             std::abs(dx * sample.across.y - dy * sample.across.x);
    });
    // At its ends it turns away from what it lies along.
    constexpr double nearly_all = 0.8;
    return along >= nearly_all;
  }

  Kind kind_of_bridge(const Spot& spot, bool hidden) const {
    const double span_mm = spot.place.value;
    if (span_mm > limits_.bridge_mm.value) return Kind::long_bridge;
    if (hidden || span_mm <= limits_.still_air_bridge_mm.value) return Kind::bridge;
    if (fan_.applies() && spot.fan_ratio < limits_.fan_ratio) return Kind::bare_bridge;
    if (spot.speed_mm_per_s > limits_.bridge_speed_mm_per_s) return Kind::fast_bridge;
    return Kind::bridge;
  }

  // Overhangs.

  void judge_chain(const Chain& chain) {
    if (length_of(chain) <= limits_.path_mm.value) return;
    open_.clear();
    double open_mm = 0;
    for (std::size_t i = chain.first; i < chain.last; ++i) {
      if (in_bridge_[hanging_[i].piece] || !underlay_.is_open(hanging_[i].station.at, hanging_[i].station.across))
        continue;
      open_.push_back(hanging_[i]);
      open_mm += hanging_[i].station.length_mm;
    }
    if (open_mm <= limits_.path_mm.value || is_narrow()) return;
    Spot low;
    Spot bad;
    for (const Hanging& one : open_) judge_station(one, low, bad);
    Spot& spot = bad.path_mm > limits_.path_mm.value ? bad : low;
    spot.kind = &spot == &bad ? Kind::overhang : Kind::lean;
    spot.share /= spot.path_mm;
    spot.put_at(spot.place, open_.front().station.width_mm);
    regions_.add(spot);
  }

  double length_of(const Chain& chain) const {
    double length_mm = 0;
    for (std::size_t i = chain.first; i < chain.last; ++i) length_mm += hanging_[i].station.length_mm;
    return length_mm;
  }

  /// Most of a chain leans into a slot that is about to close: a few places tell.
  bool is_narrow() const {
    constexpr std::size_t looks = 8;
    const std::size_t step = std::max<std::size_t>(1, open_.size() / looks);
    std::size_t narrow = 0;
    std::size_t looked = 0;
    for (std::size_t i = step / 2; i < open_.size(); i += step, ++looked)
      if (underlay_.slot_width_mm(open_[i].station.at, open_[i].station.across) <= limits_.slot_mm) ++narrow;
    return 2 * narrow > looked;
  }

  void judge_station(const Hanging& hanging, Spot& low, Spot& bad) {
    const SupportStation& station = hanging.station;
    const BeadSupport::Nearest nearest = support_.nearest(station.at, farthest_told_mm);
    const double overhang_mm =
        station.share > 0 ? (1 - station.share) * station.width_mm : nearest.distance_mm + station.width_mm / 2;
    take(low, hanging, overhang_mm, (1 - limits_.note_share.value) * station.width_mm);
    if (station.share >= limits_.least_share.value) return;
    const double width_mm = station.width_mm;
    if (overhang_mm > limits_.overhang_mm.value) return take(bad, hanging, overhang_mm, limits_.overhang_mm.value);
    if (!underlay_.hangs_beside(station, nearest))
      return take(bad, hanging, overhang_mm, (1 - limits_.least_share.value) * width_mm);
    const double sum_mm =
        overhang_mm + memory_.at(nearest.middle, z_mm() - carrying_heights * layer().layer.height_mm, z_mm());
    memory_.note(station.at, z_mm(), sum_mm);
    if (sum_mm > limits_.lean_mm.value) take(bad, hanging, sum_mm, limits_.lean_mm.value);
  }

  void take(Spot& spot, const Hanging& hanging, double overhang_mm, double allowed_mm) const {
    const SupportStation& station = hanging.station;
    if (spot.path_mm == 0 || overhang_mm > spot.place.value) {
      spot.place = place_at(bead_of(hanging.piece), station.at, overhang_mm);
      spot.allowed_mm = allowed_mm;
    }
    spot.path_mm += station.length_mm;
    spot.area_mm2 += station.length_mm * station.width_mm * (1 - station.share);
    spot.share += station.length_mm * station.share;
    spot.add_point(station.at, z_mm());
  }

  CheckContext context_;
  Limits limits_;
  FanRule fan_;
  double nozzle_mm_;
  const LayerStack* stack_ = nullptr;
  BeadSupport support_;
  BareRuns runs_of_track_;
  RunView view_;
  Underlay underlay_;
  OverhangMemory memory_;
  Regions regions_;
  bool widths_known_;
  bool fan_is_set_ = false;
  std::vector<IslandState> islands_;
  std::vector<BareRun> runs_;
  std::vector<Hanging> hanging_;
  std::vector<Chain> chains_;
  // Used again and again.
  std::vector<SupportStation> stations_;
  std::vector<double> widths_mm_;
  std::vector<Hanging> open_;
  std::vector<bool> in_bridge_;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<UnsupportedBead>(context); }

}  // namespace beadwise::checks::unsupported_bead
