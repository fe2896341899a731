#pragma once

#include <cstdint>
#include <vector>

#include "beadwise/finding.hpp"
#include "beadwise/move.hpp"
#include "model/melt_zone.hpp"

namespace beadwise::checks {

/// Where filament used most of the flow that its melt zone heats through.
struct MeltWorst {
  double share = 0;  ///< flow lived through over flow heated through
  double residence_s = 0;
  double nozzle_c = 0;
  double feedrate_mm_per_s = 0;
  double area_mm2 = 0;  ///< of the bead's cross-section
  std::uint32_t layer = 0;
};

/// All runs that are long enough to be told.
struct MeltFound {
  std::uint64_t runs = 0;
  double longest_mm = 0;
  double filament_mm = 0;
  double time_s = 0;
  MeltWorst worst;
  Places places;  ///< of each run one per layer and its end
};

/// Cuts one tool's filament into runs whose residence is below a limit, and keeps those of a least length.
class MeltRuns {
 public:
  explicit MeltRuns(double least_mm) : least_mm_(least_mm) {}

  /// The next piece. One that is below the limit in part counts with that part: residence runs evenly along it.
  void add(const MeltPiece& piece, double limit_s, const Move& move, const MeltWorst& at, const Place& place);
  /// The next piece is not below the limit, or there is none.
  void end() {
    if (run_.filament_mm > 0) close();
  }

  /// Complete after `end`.
  const MeltFound& found() const { return found_; }

 private:
  struct Run {
    double filament_mm = 0;
    double begin_s = 0;
    double end_s = 0;
    MeltWorst worst;
    std::vector<Place> waiting;
  };

  void close();
  void remember(const Place& place);

  double least_mm_;
  Run run_;
  MeltFound found_;
};

}  // namespace beadwise::checks
