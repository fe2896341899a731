#pragma once

#include <cstdint>
#include <optional>

#include "beadwise/move.hpp"
#include "model/typical_value.hpp"

namespace beadwise {

/// Asks of the E words of a job whether they make sense the other way round: lengths written as a running total but
/// read as steps, or steps read as a running total. Steady is what lays as much per millimetre as the move before it.
class ExtruderMode {
 public:
  /// Every batch of the job, in order.
  void on_moves(const MoveBatch& batch);

  /// After the last batch.
  EMisread misread() const;
  /// The first motion that draws filament along.
  const std::optional<Move>& first() const { return first_; }

 private:
  /// One way to read E.
  struct Reading {
    std::uint64_t moves = 0;
    std::uint64_t steady = 0;
    double last_per_mm = 0;
    TypicalValue per_mm;

    void add(double filament_mm, double path_mm);
    bool is_steady() const;
    bool is_plausible() const;
  };

  void on_move(const Move& move);
  bool total_read_as_steps() const;
  bool steps_read_as_total() const;

  double last_step_mm_ = 0;     ///< E of the move before, where E is read as steps
  double total_mm_ = 0;         ///< E since it was last set, where it is read as a total
  Reading differences_;         ///< of E read as steps: what it would lay as a total
  Reading written_;             ///< of E read as a total: what it would lay as steps
  TypicalValue steps_per_mm_;   ///< of E read as steps, as it is read
  std::uint64_t backward_ = 0;  ///< moves that E read as a total pulls back while the head moves
  std::optional<Move> first_;
};

}  // namespace beadwise
