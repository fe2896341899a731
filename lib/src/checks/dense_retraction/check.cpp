#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "beadwise/check.hpp"
#include "checks/support/wording.hpp"
#include "model/filament_line.hpp"
#include "model/typical_value.hpp"

namespace beadwise::checks::dense_retraction {

const Description& describe() {
  static constexpr std::string_view source =
      "common practice: over 118 prints that their owners kept, the most gear passes of any point were 9 in the "
      "middle, "
      "up to 19 in three of four, up to 33 in nine of ten, up to 51 in nineteen of twenty, and 105 at most";
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::note, Severity::warning, Severity::error},
      .symptoms = {Symptom::clogging, Symptom::under_extrusion},
      .thresholds = {{.key = "note_passes",
                      .built_in = 30,
                      .unit = "passes",
                      .meaning = "more gear passes of one point of the filament are worth knowing",
                      .source = source},
                     {.key = "warning_passes",
                      .built_in = 50,
                      .unit = "passes",
                      .meaning = "more are likely to show",
                      .source = source},
                     {.key = "error_passes",
                      .built_in = 100,
                      .unit = "passes",
                      .meaning = "more are likely to grind through",
                      .source = source}}};
  return description;
}

namespace {

// Worn stretches made a few layers apart come from the same feature of the part.
constexpr std::uint32_t layers_joined = 5;
constexpr std::size_t most_groups_per_tool = 4;
// Shorter retractions no longer take the pressure off the nozzle: common practice.
constexpr double shortest_useful_mm = 0.2;

std::uint64_t passes(std::uint64_t retractions) { return 1 + 2 * retractions; }

/// The most retractions that stay within a limit of passes.
std::uint64_t retractions_within(double limit_passes) {
  return limit_passes < 1 ? 0 : static_cast<std::uint64_t>(std::floor((limit_passes - 1) / 2));
}

double length_mm(const PullBack& pull_back) { return static_cast<double>(pull_back.high - pull_back.low) / 1e6; }

/// Worn stretches of one filament that were made in neighbouring layers.
struct Group {
  std::uint8_t tool = 0;
  std::uint32_t first_layer = 0;
  std::uint32_t last_layer = 0;
  std::uint64_t stretches = 0;
  double worn_mm = 0;  ///< their lengths together
  WornStretch worst;   ///< without its retractions
  std::uint64_t worst_made_by = 0;
  double worst_spacing_mm = 0;  ///< filament fed from one of its retractions to the next, on average
  std::uint32_t worst_first_layer = 0;
  std::uint32_t worst_last_layer = 0;
  double fitting_length_mm = 0;  ///< in the worst of the stretches
  TypicalValue length_mm;
  double longest_mm = 0;
  Places places;
  std::vector<PullBack> waiting;  ///< not yet in `places`: one retraction may have reached two stretches
};

bool is_near(const Group& group, std::uint32_t first_layer, std::uint32_t last_layer) {
  return first_layer <= group.last_layer + layers_joined && last_layer + layers_joined >= group.first_layer;
}

std::uint32_t layers_away(const Group& group, std::uint32_t layer) {
  return layer > group.last_layer    ? layer - group.last_layer
         : group.first_layer > layer ? group.first_layer - layer
                                     : 0;
}

void describe_worst(Group& group, const WornStretch& worn) {
  std::vector<FilamentTick> starts;
  group.worst_first_layer = worn.pull_backs.front().layer;
  group.worst_last_layer = group.worst_first_layer;
  for (const PullBack& pull_back : worn.pull_backs) {
    if (pull_back.most == worn.most) starts.push_back(pull_back.high);
    group.worst_first_layer = std::min(group.worst_first_layer, pull_back.layer);
    group.worst_last_layer = std::max(group.worst_last_layer, pull_back.layer);
  }
  const auto [lowest, highest] = std::minmax_element(starts.begin(), starts.end());
  group.worst_spacing_mm =
      starts.size() < 2 ? 0 : static_cast<double>(*highest - *lowest) / 1e6 / static_cast<double>(starts.size() - 1);
  group.worst_made_by = worn.pull_backs.size();
  group.worst = worn;
  group.worst.pull_backs.clear();
}

void take_into(Group& group, const WornStretch& worn, std::uint32_t first_layer, std::uint32_t last_layer) {
  const bool first = group.stretches == 0;
  group.first_layer = first ? first_layer : std::min(group.first_layer, first_layer);
  group.last_layer = first ? last_layer : std::max(group.last_layer, last_layer);
  group.fitting_length_mm = first ? worn.fitting_length_mm : std::min(group.fitting_length_mm, worn.fitting_length_mm);
  if (first || worn.most > group.worst.most) describe_worst(group, worn);
  ++group.stretches;
  group.worn_mm += worn.high_mm - worn.low_mm;
  group.waiting.insert(group.waiting.end(), worn.pull_backs.begin(), worn.pull_backs.end());
}

/// Counts each retraction once, with the worst of the points that it pulled back.
void count_waiting(Group& group) {
  std::sort(group.waiting.begin(), group.waiting.end(),
            [](const PullBack& a, const PullBack& b) { return a.line != b.line ? a.line < b.line : a.most > b.most; });
  std::uint64_t counted_line = 0;
  for (const PullBack& pull_back : group.waiting) {
    if (pull_back.line == counted_line) continue;
    counted_line = pull_back.line;
    group.length_mm.add(length_mm(pull_back), 1);
    group.longest_mm = std::max(group.longest_mm, length_mm(pull_back));
    group.places.add({.line = pull_back.line,
                      .layer = pull_back.layer,
                      .x_mm = pull_back.at_mm.x,
                      .y_mm = pull_back.at_mm.y,
                      .z_mm = pull_back.at_mm.z,
                      .has_position = true,
                      .value = static_cast<double>(passes(pull_back.most))});
  }
  group.waiting.clear();
}

class DenseRetraction final : public Check {
 public:
  explicit DenseRetraction(const CheckContext& context)
      : context_(context),
        limits_{context.limit("note_passes"), context.limit("warning_passes"), context.limit("error_passes")},
        within_(retractions_within(std::min({limits_[0].value, limits_[1].value, limits_[2].value}))),
        line_(within_) {}

  void on_moves(const MoveBatch& batch, Findings&) override {
    for (const Event& event : batch.events) {
      if (event.kind == EventKind::firmware_retraction && !(event.value > 0)) ++of_unknown_length_;
    }
    for (const Move& move : batch.moves) {
      pulls_along_ += move.kind == MoveKind::travel && move.filament_mm < 0 ? 1 : 0;
      if (move.kind != MoveKind::bead) continue;
      ++beads_;
      laid_mm_ += move.filament_mm;
      fresh_mm_ += move.fresh_mm;
    }
    line_.on_moves(batch);
    take_worn();
  }

  void on_end(const JobSummary&, Findings& findings) override {
    line_.finish();
    take_worn();
    if (e_is_misread()) return;
    for (const Group& group : groups_) findings.add(worn_by_retractions(group));
  }

  std::optional<std::string> skipped() const override {
    if (e_is_misread()) {
      return fmt::format("of {:.1f} mm of filament along the beads only {:.1f} mm are new: E is read in the wrong mode",
                         laid_mm_, fresh_mm_);
    }
    if (of_unknown_length_ == 0 || !groups_.empty()) return std::nullopt;
    return fmt::format(
        "the file leaves {} to the machine (G10) and does not say how long they are; state it, such as "
        "--set machine.firmware_retraction_mm=1.5",
        counted(of_unknown_length_, "retraction", "retractions"));
  }

 private:
  // Steps of E read as a running total go back and forth along the beads: hardly any of them lays new filament, and
  // nearly as many pull back as lay. Wiping and priming along the way do one of the two, not both.
  bool e_is_misread() const {
    constexpr double least_fresh_share = 0.5;
    constexpr double most_pulling_share = 0.4;
    return fresh_mm_<least_fresh_share * laid_mm_&& static_cast<double>(pulls_along_)> most_pulling_share *
           static_cast<double>(pulls_along_ + beads_);
  }

  void take_worn() {
    const std::vector<WornStretch> taken = line_.take_worn();
    if (taken.empty()) return;
    for (const WornStretch& worn : taken) {
      if (worn.pull_backs.empty()) continue;
      std::uint32_t first_layer = worn.pull_backs.front().layer;
      std::uint32_t last_layer = first_layer;
      for (const PullBack& pull_back : worn.pull_backs) {
        first_layer = std::min(first_layer, pull_back.layer);
        last_layer = std::max(last_layer, pull_back.layer);
      }
      take_into(group_for(worn.tool, first_layer, last_layer), worn, first_layer, last_layer);
    }
    for (Group& group : groups_) count_waiting(group);
  }

  Group& group_for(std::uint8_t tool, std::uint32_t first_layer, std::uint32_t last_layer) {
    std::size_t of_tool = 0;
    Group* nearest = nullptr;
    for (Group& group : groups_) {
      if (group.tool != tool) continue;
      ++of_tool;
      if (is_near(group, first_layer, last_layer)) return group;
      if (nearest == nullptr || layers_away(group, first_layer) < layers_away(*nearest, first_layer)) nearest = &group;
    }
    if (of_tool >= most_groups_per_tool) return *nearest;
    Group& group = groups_.emplace_back();
    group.tool = tool;
    return group;
  }

  Finding worn_by_retractions(const Group& group) const {
    const auto worst = static_cast<double>(passes(group.worst.most));
    std::size_t level = worst > limits_[2].value ? 2 : worst > limits_[1].value ? 1 : 0;
    Finding finding;
    finding.check = context_.name;
    finding.severity = static_cast<Severity>(level);
    finding.symptoms = {Symptom::clogging, Symptom::under_extrusion};
    finding.what = what(group);
    finding.why =
        "Each passage under the teeth of the drive gear bites into the same spot. In the end the teeth mill a hollow, "
        "grip nothing, and the nozzle runs dry or clogs with dust. Of 118 prints that their owners kept, half stayed "
        "at "
        "9 passes or fewer, nine in ten at 33, nineteen in twenty at 51.";
    finding.remedy = remedy(group);
    const Place worst_place = group.places.worst().front();
    finding.key = fmt::format("tool {} near Z {} mm", group.tool, figure(worst_place.z_mm));
    finding.measured =
        Measured{.value = worst, .limit = limits_[level].value, .unit = "passes", .limit_from = limits_[level].from};
    finding.places = group.places;
    return finding;
  }

  std::string what(const Group& group) const {
    const WornStretch& worst = group.worst;
    std::string text = fmt::format(
        "A stretch of {} mm of filament (tool {}, {} to {} mm from its start) passes the drive gear up to {} times: in "
        "{}, {} of typically {} mm pull{} it back, with {} mm fed from one to the next.",
        figure(worst.high_mm - worst.low_mm, 2), group.tool, figure(worst.low_mm, 1), figure(worst.high_mm, 1),
        passes(worst.most), layers_between(group.worst_first_layer, group.worst_last_layer),
        counted(group.worst_made_by, "retraction", "retractions"), figure(group.length_mm.median(), 1),
        group.worst_made_by == 1 ? "s" : "", figure(group.worst_spacing_mm, 2));
    if (group.stretches > 1) {
      text += fmt::format(" In {} there are {} such stretches, {} mm together, made by {} retractions.",
                          layers_between(group.first_layer, group.last_layer), group.stretches,
                          figure(group.worn_mm, 1), group.places.count());
    }
    return text;
  }

  std::string remedy(const Group& group) const {
    const std::uint64_t allowed = std::max<std::uint64_t>(1, within_);
    const double typical_mm = group.length_mm.median();
    const double least_fed_mm = std::ceil(typical_mm / static_cast<double>(allowed) * 100) / 100;
    std::string text = fmt::format(
        "Leave out the retraction where less than {} mm of filament was fed since the last one: that keeps retractions "
        "of {} mm at {} passes. Let travels stay inside the part and not pull back there.",
        figure(least_fed_mm, 2), figure(typical_mm, 1), passes(allowed));
    const double fitting_mm = std::floor(group.fitting_length_mm * 100) / 100;
    if (fitting_mm >= shortest_useful_mm && fitting_mm < typical_mm) {
      text += fmt::format(" Or pull back {} mm instead of {} mm: at the same places that makes no more than {} passes.",
                          figure(fitting_mm, 2), figure(typical_mm, 1), passes(allowed));
    } else {
      text += fmt::format(" Shorter retractions alone would not do: they would have to be {} mm or less.",
                          figure(std::max(fitting_mm, 0.0), 2));
    }
    return text;
  }

  CheckContext context_;
  std::array<Limit, 3> limits_;  ///< of a note, a warning, an error
  std::uint64_t within_;         ///< retractions over one point that nobody is told of
  FilamentLine line_;
  std::uint64_t beads_ = 0;
  std::uint64_t pulls_along_ = 0;  ///< moves in the plane that pull filament back
  double laid_mm_ = 0;             ///< filament fed along beads
  double fresh_mm_ = 0;            ///< of it, for the first time
  std::vector<Group> groups_;
  std::uint64_t of_unknown_length_ = 0;
};

}  // namespace

std::unique_ptr<Check> make(const CheckContext& context) { return std::make_unique<DenseRetraction>(context); }

}  // namespace beadwise::checks::dense_retraction
