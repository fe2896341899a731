#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace beadwise {

/// Gear passes along one filament, in even steps from where it stood when the job began.
struct PassesAlong {
  std::uint8_t tool = 0;
  double step_mm = 0;
  std::vector<std::uint64_t> most;  ///< of each step: passes of its worst point
};

/// Gathers the most retractions over each of at most `most_steps` even steps of a filament, however long it is: where
/// it would need more, two steps become one.
class PassRecord {
 public:
  static constexpr std::size_t most_steps = 600;

  /// Points of the stretch [low, high), in 1e-6 mm, were pulled back so often; what lies before 0 is left out.
  void add(std::int64_t low, std::int64_t high, std::uint64_t pulls);

  /// Of filament that was fed up to a position.
  PassesAlong passes(std::int64_t fed) const;

 private:
  void make_room(std::int64_t high);

  std::int64_t step_ = 100'000;  // 0.1 mm
  std::vector<std::uint64_t> pulls_;
};

}  // namespace beadwise
