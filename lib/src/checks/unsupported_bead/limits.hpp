#pragma once

#include "beadwise/check.hpp"

namespace beadwise::checks::unsupported_bead {

/// The limits in use.
struct Limits {
  explicit Limits(const CheckContext& context)
      : note_share(context.limit("note_share_ratio")),
        least_share(context.limit("least_share_ratio")),
        path_mm(context.limit("path_mm")),
        overhang_mm(context.limit("overhang_mm")),
        lean_mm(context.limit("lean_mm")),
        bridge_mm(context.limit("bridge_mm")),
        still_air_bridge_mm(context.limit("still_air_bridge_mm")),
        short_bridge_mm(context.limit("short_bridge_mm").value),
        slot_mm(context.limit("slot_mm").value),
        fan_ratio(context.limit("fan_ratio").value),
        bridge_speed_mm_per_s(context.limit("bridge_speed_mm_per_s").value),
        support_gap_mm(context.limit("support_gap_mm").value) {}

  Limit note_share;
  Limit least_share;
  Limit path_mm;
  Limit overhang_mm;
  Limit lean_mm;
  Limit bridge_mm;
  Limit still_air_bridge_mm;
  double short_bridge_mm;
  double slot_mm;
  double fan_ratio;
  double bridge_speed_mm_per_s;
  double support_gap_mm;
};

}  // namespace beadwise::checks::unsupported_bead
