#pragma once

#include <algorithm>
#include <cmath>

#include "checks/unsupported_bead/limits.hpp"
#include "model/bead_support.hpp"
#include "model/top_heights.hpp"
#include "model/top_surface.hpp"
#include "model/track_samples.hpp"

namespace beadwise::checks::unsupported_bead {

/// What lies around and below a place that hangs: supports left a little lower, slots, beads beside it.
class Underlay {
 public:
  Underlay(const BeadSupport& support, const Limits& limits) : support_(support), limits_(limits) {}

  void look_at(const LayerStack& stack) { stack_ = &stack; }

  /// A track of a support or a raft; to be told before what is printed over it.
  void raise(const FootprintRun& pieces) {
    // A longer bead than any machine has is looked at in as many places as others at most.
    constexpr double most_steps = 512;
    has_support_ = true;
    for (const Footprint& piece : pieces) {
      const PlanePoint a = piece.from();
      const PlanePoint b = piece.to();
      const double length_mm = std::hypot(b.x - a.x, b.y - a.y);
      const double steps = std::clamp(std::ceil(length_mm / TopHeights::cell_mm), 1.0, most_steps);
      for (double i = 0; i <= steps; ++i)
        support_tops_.raise(a.x + i / steps * (b.x - a.x), a.y + i / steps * (b.y - a.y), z_mm());
    }
  }

  /// What carries may have been left a little lower on purpose: supports are, to come off.
  bool is_over_support(PlanePoint place, PlanePoint across) {
    if (is_support_below(place) || lies_just_below(place)) return true;
    // Between two lines of something that ends just below: a support, whatever it is called.
    return reaches_support(place, across, 1) && reaches_support(place, across, -1);
  }

  /// Neither hidden inside nor over a support.
  bool is_open(PlanePoint place, PlanePoint across) {
    return !support_.inside_below(place) && !is_over_support(place, across);
  }

  /// Width of the slot or hollow that a place lies over, across the bead; more than `slot_mm` where it is wider.
  double slot_width_mm(PlanePoint place, PlanePoint across) const {
    const double most_mm = limits_.slot_mm;
    const double left_mm = support_.distance_along_mm(place, across, most_mm);
    if (left_mm >= most_mm) return 2 * most_mm;
    return left_mm + support_.distance_along_mm(place, {-across.x, -across.y}, most_mm);
  }

  /// A bead lies beside the place, towards what carries.
  bool hangs_beside(const SupportStation& station, const BeadSupport::Nearest& nearest) const {
    // Off by this much the bead beside still lies on something.
    constexpr double slack_widths = 0.25;
    const double width_mm = station.width_mm;
    const PlanePoint at = station.at;
    const PlanePoint across = station.across;
    const double towards = (nearest.middle.x - at.x) * across.x + (nearest.middle.y - at.y) * across.y;
    const double aside_mm = towards < 0 ? -width_mm : width_mm;
    const PlanePoint beside{at.x + aside_mm * across.x, at.y + aside_mm * across.y};
    if (!stack_->layer.index.covers(beside)) return false;
    return support_.carries(beside, std::max(slack_widths * width_mm, nearest.distance_mm - width_mm / 2));
  }

 private:
  static constexpr double rounding_mm = 1e-3;
  // Lines of supports lie closer than this: common practice.
  static constexpr double farthest_line_mm = 5;

  double z_mm() const { return stack_->layer.layer.z_mm; }
  double height_mm() const { return stack_->layer.layer.height_mm; }
  double lowest_support_mm() const { return z_mm() - height_mm() - limits_.support_gap_mm - rounding_mm; }

  bool is_support_below(PlanePoint place) {
    if (!has_support_) return false;
    constexpr double cell_mm = TopHeights::cell_mm;
    for (const double dx : {0.0, -cell_mm, cell_mm}) {
      for (const double dy : {0.0, -cell_mm, cell_mm}) {
        const double top_mm = support_tops_.at(place.x + dx, place.y + dy);
        if (top_mm > 0 && top_mm >= lowest_support_mm() && top_mm < z_mm() + rounding_mm) return true;
      }
    }
    return false;
  }

  bool lies_just_below(PlanePoint place) const {
    // What lies higher is among the layers below, and they do not carry the place.
    const double top_mm = stack_->before.at(place);
    return top_mm > 0 && top_mm >= lowest_support_mm() && top_mm < z_mm() - 2 * height_mm();
  }

  bool reaches_support(PlanePoint place, PlanePoint across, double sign) const {
    // Where layers are thick, what lies so far below is among the layers below.
    if (lowest_support_mm() >= z_mm() - 2 * height_mm()) return false;
    constexpr double step_mm = TopSurface::Grid::cell_mm;
    for (double aside_mm = step_mm; aside_mm <= farthest_line_mm; aside_mm += step_mm)
      if (lies_just_below({place.x + sign * aside_mm * across.x, place.y + sign * aside_mm * across.y})) return true;
    return false;
  }

  const BeadSupport& support_;
  const Limits& limits_;
  const LayerStack* stack_ = nullptr;
  TopHeights support_tops_;
  bool has_support_ = false;
};

}  // namespace beadwise::checks::unsupported_bead
