#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <utility>
#include <vector>

#include "beadwise/move.hpp"
#include "model/pass_record.hpp"

namespace beadwise {

/// A position along the filament of one tool, in steps of 1e-6 mm; 0 where the drive gear holds it when the job starts.
using FilamentTick = std::int64_t;

/// How many retractions pulled back each point of one filament, as a step function of the position.
class PullCounts {
 public:
  /// The points of the half-open stretch [low, high) were pulled back once more.
  void add(FilamentTick low, FilamentTick high);

  /// The most retractions over any one point, retired ones included.
  std::uint64_t most() const { return most_; }
  /// The most over a point of [low, high), as far as it is not retired.
  std::uint64_t most_within(FilamentTick low, FilamentTick high) const;
  /// The stretches, lowest first, whose points were pulled back more than `limit` times; neighbours joined.
  std::vector<std::pair<FilamentTick, FilamentTick>> above(std::uint64_t limit) const;

  /// Calls `visit(low, high, count)` for every stretch of even count below `cut`, lowest first.
  template <class Visit>
  void each_below(FilamentTick cut, Visit&& visit) const {
    for (std::size_t step = 0; step + 1 < starts_.size() && starts_[step] < cut; ++step)
      visit(starts_[step], std::min(starts_[step + 1], cut), counts_[step]);
  }

  std::size_t steps() const { return starts_.size(); }
  /// Where the step in the middle of the list begins.
  FilamentTick middle() const { return starts_[starts_.size() / 2]; }
  /// Forgets the points below `cut`; what later retractions pull back of them is not counted.
  void retire_below(FilamentTick cut);

 private:
  std::size_t step_at(FilamentTick position);

  // counts_[i] holds from starts_[i] up to starts_[i + 1]; the last count is 0.
  std::vector<FilamentTick> starts_;
  std::vector<std::uint32_t> counts_;
  std::uint64_t most_ = 0;
  std::optional<FilamentTick> retired_below_;
};

/// One retraction: everything pulled back until filament is fed forward again.
struct PullBack {
  FilamentTick low = 0;
  FilamentTick high = 0;
  std::uint64_t line = 0;  ///< where it began
  std::uint32_t layer = 0;
  Point at_mm;
  std::uint64_t most = 0;  ///< retractions over the worst of its points; filled in a WornStretch
};

/// A stretch of filament that was pulled back more often than a limit, with the retractions that reached it.
struct WornStretch {
  std::uint8_t tool = 0;
  double low_mm = 0;  ///< position along the filament, from where it stood when the job began
  double high_mm = 0;
  std::uint64_t most = 0;        ///< retractions over the worst point
  double fitting_length_mm = 0;  ///< the longest retraction that would stay within the limit, made at the same places
  std::vector<PullBack> pull_backs;  ///< in order of printing
};

/// Follows the filament of every tool through the drive gear and counts how often each point of it passed.
///
/// A retraction adds two passes to the stretch that it pulls back, from the moment it is made. The position is the sum
/// of the signed filament of the moves; setting E anew does not move filament. Memory is bounded: exact as long as the
/// counts of one filament change at no more than `steps_kept` points (50 000 retractions and more). Beyond that the
/// half of them farthest back is settled: it keeps its part in the maximum, but a later retraction that reaches back so
/// far (past tens of thousands of others) does not count there.
class FilamentLine {
 public:
  static constexpr std::size_t steps_kept = 100'000;

  FilamentLine() = default;
  /// Also gathers the stretches whose points were pulled back by more than `most_retractions` retractions.
  explicit FilamentLine(std::uint64_t most_retractions) : worn_above_(most_retractions) {}

  /// Gathers the gear passes along each filament, too.
  void keep_passes() { keeps_passes_ = true; }

  void on_moves(const MoveBatch& batch);

  /// 1 + 2 × the most retractions that pulled back one and the same point, the largest over the tools; at least 1.
  std::uint64_t max_gear_passes() const;

  /// The worn stretches that are complete and were not taken yet, by tool and position. After `finish`, all of them.
  std::vector<WornStretch> take_worn();
  /// No more moves will come.
  void finish();
  /// After `finish`, where asked for: by tool, of those that fed filament.
  std::vector<PassesAlong> passes() const;

 private:
  struct Line {
    double position_mm = 0;
    double lost_mm = 0;                   ///< what the sum rounded off so far
    std::optional<FilamentTick> run_low;  ///< lowest point of the retraction that is being made
    PullCounts counts;
    std::vector<PullBack> pull_backs;  ///< only where worn stretches are gathered
    FilamentTick highest = 0;          ///< the farthest that was fed
    PassRecord passes;                 ///< only where they are kept

    void advance(double filament_mm);
    FilamentTick tick() const;
  };

  void on_move(const MoveBatch& batch, const Move& move);
  void on_event(const Event& event);
  void pull(std::uint8_t tool, FilamentTick low, PullBack where);
  void make_room(std::uint8_t tool, Line& line);
  void gather_worn(std::uint8_t tool, Line& line, FilamentTick below);
  void record_passes(Line& line, FilamentTick below) const;

  std::map<std::uint8_t, Line> lines_;
  std::optional<std::uint64_t> worn_above_;
  bool keeps_passes_ = false;
  std::vector<WornStretch> worn_;
};

}  // namespace beadwise
