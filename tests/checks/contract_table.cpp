#include "checks/contract_table.hpp"

namespace beadwise::tests {

const std::vector<Promise>& promised_checks() {
  using enum Severity;
  using S = Symptom;
  static const std::vector<Promise> table{
      {"unread-line", {note, warning}, {}},
      {"bad-checksum", {error}, {}},
      {"truncated-file", {error}, {}},
      {"not-a-print", {error}, {}},
      {"wrong-machine", {warning, error}, {}},
      {"implausible-bead", {warning, error}, {S::under_extrusion, S::blobs}},
      {"broken-arc", {warning}, {}},
      {"unhomed-move", {warning}, {S::knocked_loose}},
      {"mid-print-homing", {error}, {S::knocked_loose}},
      {"outside-build-volume", {error}, {}},
      {"cold-extrusion", {error}, {S::clogging}},
      {"heater-left-on", {error}, {}},
      {"temperature-out-of-range", {warning}, {S::stringing, S::clogging, S::weak_layers}},
      {"liner-overheat", {note, warning, error}, {S::clogging}},
      {"dense-retraction", {note, warning, error}, {S::clogging, S::under_extrusion}},
      {"long-retraction", {warning}, {S::clogging, S::stringing}},
      {"unbalanced-retraction", {note, warning}, {S::under_extrusion, S::stringing, S::blobs}},
      {"hot-dwell", {note, warning}, {S::clogging, S::stringing}},
      {"heat-creep", {note, warning}, {S::clogging}},
      {"short-spool", {error}, {S::runout}},
      {"unready-filament-change", {warning}, {S::stringing, S::scarring}},
      {"excess-flow", {warning, error}, {S::under_extrusion, S::clogging, S::weak_layers, S::tube_pushed_out}},
      {"high-feed-pressure", {note, warning}, {S::clogging, S::tube_pushed_out}},
      {"flow-step", {note}, {S::under_extrusion, S::blobs}},
      {"short-layer-time", {note, warning}, {S::sagging}},
      {"low-travel", {note, warning}, {S::scarring, S::knocked_loose}},
      {"travel-collision", {error}, {S::knocked_loose}},
      {"open-travel", {note, warning}, {S::stringing}},
      {"unsupported-bead", {note, warning}, {S::sagging}},
      {"open-fill", {warning}, {S::rough_first_layer, S::rough_top, S::weak_layers}},
      {"weak-first-layer", {note, warning}, {S::rough_first_layer, S::knocked_loose}},
      {"small-footprint", {note, warning}, {S::knocked_loose}},
      {"warp-prone", {note, warning}, {S::warping, S::knocked_loose}},
      {"thin-stroke", {note, warning}, {S::illegible_text}},
  };
  return table;
}

}  // namespace beadwise::tests
