#pragma once

#include <cstddef>
#include <vector>

namespace beadwise {

/// The largest mean flow over any window of the given length of time. Exact: flow is linear between the breakpoints of
/// the speed profiles, so the volume in a sliding window has its maxima where a breakpoint enters or leaves it, or
/// where the flow that enters equals the flow that leaves.
class FlowWindow {
 public:
  explicit FlowWindow(double window_s) : window_s_(window_s) {}

  /// A stretch of time with a flow that changes evenly; stretches come in order and do not overlap. Time in between
  /// has no flow.
  void add(double start_s, double duration_s, double flow_start_mm3_per_s, double flow_end_mm3_per_s);
  /// Nothing comes any more.
  void finish();

  double peak_mm3_per_s() const { return peak_mm3_ / window_s_; }

 private:
  struct Piece {
    double start_s = 0;
    double end_s = 0;
    double flow_start = 0;
    double flow_end = 0;
  };
  void slide_to(double until_s, double flow_start, double flow_end);

  double window_s_;
  std::vector<Piece> pieces_;
  std::size_t first_ = 0;  ///< the piece that the back of the window is in or before
  double front_s_ = 0;
  double volume_mm3_ = 0;  ///< in the window
  double peak_mm3_ = 0;
};

}  // namespace beadwise
