#pragma once

#include <algorithm>

#include "beadwise/check.hpp"
#include "model/layer_stack.hpp"

namespace beadwise::checks::thin_stroke {

/// The limits in use.
struct Limits {
  explicit Limits(const CheckContext& context)
      : stroke(context.limit("stroke_mm")),
        nozzle_ratio(context.limit("nozzle_ratio")),
        thin_share(context.limit("thin_share_ratio")),
        gap_beads(context.limit("gap_beads")),
        closing_gaps(context.limit("closing_gaps_ratio")),
        least_layers(context.limit("least_layers")),
        blob_widths(context.limit("blob_widths")),
        least_feed(context.limit("least_feed_mm")),
        note_lost(context.limit("note_lost_ratio")),
        warning_lost(context.limit("warning_lost_ratio")),
        width_step(context.limit("width_step_ratio")),
        note_steps(context.limit("note_steps_ratio")),
        upright_layers(context.limit("upright_layers")),
        upright_beads(context.limit("upright_beads")),
        relief(context.limit("relief_mm")),
        relief_beads(context.limit("relief_beads")),
        nozzle_mm(nozzle_mm_of(context.profile.machine)) {}

  /// Narrower strokes are too narrow.
  double stroke_mm() const { return std::max(stroke.value, nozzle_ratio.value * nozzle_mm); }

  Limit stroke;
  Limit nozzle_ratio;
  Limit thin_share;
  Limit gap_beads;
  Limit closing_gaps;
  Limit least_layers;
  Limit blob_widths;
  Limit least_feed;
  Limit note_lost;
  Limit warning_lost;
  Limit width_step;
  Limit note_steps;
  Limit upright_layers;
  Limit upright_beads;
  Limit relief;
  Limit relief_beads;
  double nozzle_mm;
};

}  // namespace beadwise::checks::thin_stroke
