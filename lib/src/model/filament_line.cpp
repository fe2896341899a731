#include "model/filament_line.hpp"
#include "machine/in_order.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace beadwise {
namespace {

constexpr double ticks_per_mm = 1e6;
// Less is no motion of the filament: what the difference of two E words leaves over.
constexpr double least_filament_mm = 1e-9;
// Worn stretches that lie closer together than this come from the same retractions, one a little shifted.
constexpr FilamentTick joined_within = 1'000'000;

double to_mm(FilamentTick tick) { return static_cast<double>(tick) / ticks_per_mm; }

// With the retractions starting where they did, but all of length r, a point is pulled back by those that start within
// r above it. At most `limit` do where `limit` + 1 starts in order of position span at least r.
double fitting_length_mm(const std::vector<PullBack>& pull_backs, std::uint64_t limit) {
  std::vector<FilamentTick> starts;
  starts.reserve(pull_backs.size());
  for (const PullBack& pull_back : pull_backs) starts.push_back(pull_back.high);
  std::sort(starts.begin(), starts.end());
  if (limit == 0 || starts.size() <= limit) return 0;
  FilamentTick shortest = std::numeric_limits<FilamentTick>::max();
  for (std::size_t first = 0; first + limit < starts.size(); ++first) {
    shortest = std::min(shortest, starts[first + limit] - starts[first]);
  }
  return to_mm(shortest);
}

using Stretch = std::pair<FilamentTick, FilamentTick>;

// Each stretch with the retractions that reached into it; the stretches ascend and do not touch.
std::vector<WornStretch> worn_by(const std::vector<PullBack>& pull_backs, const std::vector<Stretch>& stretches,
                                 const PullCounts& counts) {
  std::vector<WornStretch> worn;
  for (const auto& [low, high] : stretches) {
    WornStretch& stretch = worn.emplace_back();
    stretch.low_mm = to_mm(low);
    stretch.high_mm = to_mm(high);
    stretch.most = counts.most_within(low, high);
  }
  for (const PullBack& pull_back : pull_backs) {
    const auto ends_below = [](FilamentTick position, const Stretch& stretch) { return position < stretch.second; };
    auto stretch = std::upper_bound(stretches.begin(), stretches.end(), pull_back.low, ends_below);
    for (; stretch != stretches.end() && stretch->first < pull_back.high; ++stretch) {
      PullBack part = pull_back;
      part.most = counts.most_within(std::max(stretch->first, part.low), std::min(stretch->second, part.high));
      worn[static_cast<std::size_t>(stretch - stretches.begin())].pull_backs.push_back(part);
    }
  }
  return worn;
}

}  // namespace

std::size_t PullCounts::step_at(FilamentTick position) {
  const auto next = std::lower_bound(starts_.begin(), starts_.end(), position);
  const auto index = next - starts_.begin();
  if (next != starts_.end() && *next == position) return static_cast<std::size_t>(index);
  const std::uint32_t count = index == 0 ? 0 : counts_[static_cast<std::size_t>(index) - 1];
  starts_.insert(next, position);
  counts_.insert(counts_.begin() + index, count);
  return static_cast<std::size_t>(index);
}

void PullCounts::add(FilamentTick low, FilamentTick high) {
  if (retired_below_) low = std::max(low, *retired_below_);
  if (low >= high) return;
  const std::size_t last = step_at(high);
  const std::size_t first = step_at(low);
  const std::size_t end = starts_[last] == high ? last : last + 1;
  for (std::size_t step = first; step < end; ++step) {
    ++counts_[step];
    most_ = std::max<std::uint64_t>(most_, counts_[step]);
  }
}

std::uint64_t PullCounts::most_within(FilamentTick low, FilamentTick high) const {
  auto step = std::upper_bound(starts_.begin(), starts_.end(), low);
  if (step != starts_.begin()) --step;
  std::uint64_t most = 0;
  for (; step != starts_.end() && *step < high; ++step) {
    most = std::max<std::uint64_t>(most, counts_[static_cast<std::size_t>(step - starts_.begin())]);
  }
  return most;
}

std::vector<std::pair<FilamentTick, FilamentTick>> PullCounts::above(std::uint64_t limit) const {
  std::vector<std::pair<FilamentTick, FilamentTick>> stretches;
  for (std::size_t step = 0; step + 1 < starts_.size(); ++step) {
    if (counts_[step] <= limit) continue;
    if (!stretches.empty() && stretches.back().second == starts_[step]) {
      stretches.back().second = starts_[step + 1];
    } else {
      stretches.emplace_back(starts_[step], starts_[step + 1]);
    }
  }
  return stretches;
}

void PullCounts::retire_below(FilamentTick cut) {
  const auto kept = std::lower_bound(starts_.begin(), starts_.end(), cut);
  const auto count = kept - starts_.begin();
  if (count > 0 && (kept == starts_.end() || *kept != cut)) {
    // The step that runs across the cut goes on above it.
    starts_[static_cast<std::size_t>(count) - 1] = cut;
    starts_.erase(starts_.begin(), kept - 1);
    counts_.erase(counts_.begin(), counts_.begin() + count - 1);
  } else {
    starts_.erase(starts_.begin(), kept);
    counts_.erase(counts_.begin(), counts_.begin() + count);
  }
  retired_below_ = std::max(cut, retired_below_.value_or(cut));
}

void FilamentLine::Line::advance(double filament_mm) {
  // Neumaier's sum: a long job adds millions of small lengths to metres.
  const double sum = position_mm + filament_mm;
  lost_mm += std::abs(position_mm) >= std::abs(filament_mm) ? (position_mm - sum) + filament_mm
                                                            : (filament_mm - sum) + position_mm;
  position_mm = sum;
}

FilamentTick FilamentLine::Line::tick() const { return std::llround((position_mm + lost_mm) * ticks_per_mm); }

void FilamentLine::on_moves(const MoveBatch& batch) {
  in_order(
      batch, [this](const Event& event) { on_event(event); }, [&](const Move& move) { on_move(batch, move); });
}

void FilamentLine::on_move(const MoveBatch& batch, const Move& move) {
  if (move.filament_mm == 0) return;
  const std::uint8_t tool = batch.settings_of(move).tool;
  Line& line = lines_[tool];
  if (move.filament_mm >= -least_filament_mm) {
    line.advance(move.filament_mm);
    if (move.filament_mm > least_filament_mm) line.run_low.reset();
    if (keeps_passes_) line.highest = std::max(line.highest, line.tick());
    return;
  }
  const FilamentTick before = line.tick();
  line.advance(move.filament_mm);
  pull(tool, line.tick(), {.low = 0, .high = before, .line = move.line, .layer = move.layer, .at_mm = move.from_mm});
}

void FilamentLine::on_event(const Event& event) {
  if (event.kind == EventKind::firmware_prime) lines_[event.tool].run_low.reset();
  if (event.kind != EventKind::firmware_retraction || !(event.value > 0)) return;
  Line& line = lines_[event.tool];
  const FilamentTick high = line.tick();
  const FilamentTick low = high - std::llround(event.value * ticks_per_mm);
  pull(event.tool, low, {.low = 0, .high = high, .line = event.line, .layer = event.layer, .at_mm = event.at_mm});
}

void FilamentLine::pull(std::uint8_t tool, FilamentTick low, PullBack where) {
  Line& line = lines_[tool];
  const bool goes_on = line.run_low.has_value();
  const FilamentTick high = goes_on ? std::min(*line.run_low, where.high) : where.high;
  if (low >= high) return;
  line.counts.add(low, high);
  line.run_low = low;
  if (worn_above_ && goes_on && !line.pull_backs.empty()) {
    line.pull_backs.back().low = low;
  } else if (worn_above_) {
    where.low = low;
    line.pull_backs.push_back(where);
  }
  make_room(tool, line);
}

void FilamentLine::make_room(std::uint8_t tool, Line& line) {
  if (line.counts.steps() > steps_kept) {
    const FilamentTick cut = line.counts.middle();
    gather_worn(tool, line, cut);
    record_passes(line, cut);
    line.counts.retire_below(cut);
    std::erase_if(line.pull_backs, [cut](const PullBack& pull_back) { return pull_back.high <= cut; });
  }
  if (line.pull_backs.size() <= steps_kept) return;
  // A point pulled back again and again has few steps but many retractions: they are told of and dropped, but for the
  // one that may go on.
  gather_worn(tool, line, std::numeric_limits<FilamentTick>::max());
  line.pull_backs.erase(line.pull_backs.begin(), line.pull_backs.end() - 1);
}

void FilamentLine::gather_worn(std::uint8_t tool, Line& line, FilamentTick below) {
  if (!worn_above_) return;
  std::vector<Stretch> stretches;
  for (const auto& [low, high] : line.counts.above(*worn_above_)) {
    if (low >= below) break;
    if (!stretches.empty() && low - stretches.back().second < joined_within) {
      stretches.back().second = std::min(high, below);
    } else {
      stretches.emplace_back(low, std::min(high, below));
    }
  }
  std::vector<WornStretch> worn = worn_by(line.pull_backs, stretches, line.counts);
  for (WornStretch& stretch : worn) {
    stretch.tool = tool;
    stretch.fitting_length_mm = fitting_length_mm(stretch.pull_backs, *worn_above_);
    worn_.push_back(std::move(stretch));
  }
}

std::uint64_t FilamentLine::max_gear_passes() const {
  std::uint64_t most = 0;
  for (const auto& [tool, line] : lines_) most = std::max(most, line.counts.most());
  return 1 + 2 * most;
}

std::vector<WornStretch> FilamentLine::take_worn() { return std::exchange(worn_, {}); }

void FilamentLine::finish() {
  for (auto& [tool, line] : lines_) {
    gather_worn(tool, line, std::numeric_limits<FilamentTick>::max());
    record_passes(line, std::numeric_limits<FilamentTick>::max());
    line.pull_backs.clear();
  }
}

void FilamentLine::record_passes(Line& line, FilamentTick below) const {
  if (!keeps_passes_) return;
  line.counts.each_below(
      below, [&](FilamentTick low, FilamentTick high, std::uint32_t count) { line.passes.add(low, high, count); });
}

std::vector<PassesAlong> FilamentLine::passes() const {
  std::vector<PassesAlong> all;
  for (const auto& [tool, line] : lines_) {
    if (line.highest <= 0) continue;
    all.push_back(line.passes.passes(line.highest));
    all.back().tool = tool;
  }
  return all;
}

}  // namespace beadwise
