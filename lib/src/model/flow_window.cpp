#include "model/flow_window.hpp"

#include <algorithm>

namespace beadwise {

namespace {

// Steps below what a double can tell apart would stand still.
double least_step_s(double time_s) { return 1e-12 + 1e-15 * time_s; }

double flow_at(double start_s, double end_s, double flow_start, double flow_end, double time_s) {
  if (end_s <= start_s) return flow_end;
  return flow_start + (flow_end - flow_start) * std::clamp((time_s - start_s) / (end_s - start_s), 0.0, 1.0);
}

}  // namespace

void FlowWindow::add(double start_s, double duration_s, double flow_start_mm3_per_s, double flow_end_mm3_per_s) {
  if (duration_s <= 0) return;
  slide_to(start_s, 0, 0);
  // The piece is in the queue before the front runs over it: a window shorter than the piece leaves what it enters.
  pieces_.push_back({front_s_, front_s_ + duration_s, flow_start_mm3_per_s, flow_end_mm3_per_s});
  slide_to(front_s_ + duration_s, flow_start_mm3_per_s, flow_end_mm3_per_s);
}

void FlowWindow::finish() { slide_to(front_s_ + window_s_, 0, 0); }

void FlowWindow::slide_to(double until_s, double flow_start, double flow_end) {
  const double from_s = front_s_;
  while (front_s_ < until_s) {
    const double back_s = front_s_ - window_s_;
    while (first_ < pieces_.size() && pieces_[first_].end_s <= back_s) ++first_;
    double step_s = until_s - front_s_;
    double leaves_start = 0;
    double leaves_end = 0;
    if (first_ == pieces_.size()) {
      volume_mm3_ = 0;
      if (flow_start <= 0 && flow_end <= 0) {
        front_s_ = until_s;
        break;
      }
    } else if (const Piece& piece = pieces_[first_]; piece.start_s > back_s + least_step_s(front_s_)) {
      step_s = std::min(step_s, piece.start_s - back_s);
    } else {
      step_s = std::max(std::min(step_s, piece.end_s - back_s), least_step_s(front_s_));
      leaves_start = flow_at(piece.start_s, piece.end_s, piece.flow_start, piece.flow_end, back_s);
      leaves_end = flow_at(piece.start_s, piece.end_s, piece.flow_start, piece.flow_end, back_s + step_s);
    }
    const double gain_start = flow_at(from_s, until_s, flow_start, flow_end, front_s_) - leaves_start;
    const double gain_end = flow_at(from_s, until_s, flow_start, flow_end, front_s_ + step_s) - leaves_end;
    if (gain_start > 0 && gain_end < 0) {
      const double rises_s = step_s * gain_start / (gain_start - gain_end);
      peak_mm3_ = std::max(peak_mm3_, volume_mm3_ + gain_start * rises_s / 2);
    }
    volume_mm3_ += (gain_start + gain_end) / 2 * step_s;
    peak_mm3_ = std::max(peak_mm3_, volume_mm3_);
    front_s_ = std::min(front_s_ + step_s, until_s);
  }
  constexpr std::size_t kept = 4096;
  if (first_ > kept) {
    pieces_.erase(pieces_.begin(), pieces_.begin() + static_cast<std::ptrdiff_t>(first_));
    first_ = 0;
  }
}

}  // namespace beadwise
