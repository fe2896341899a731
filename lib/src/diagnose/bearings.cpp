#include "diagnose/bearings.hpp"

#include <algorithm>
#include <array>

namespace beadwise {

namespace {

using enum Symptom;

constexpr std::string_view flow_within_reach =
    "The flow peaks at {peak_flow}, and no stretch of a melt zone's length asks for more than {share_ratio} of what "
    "the zone[ of {melt_zone}] heats through[; the coldest core leaves at {core}]";
constexpr std::string_view flow_steady =
    "Fewer than {least_steps} of the flow lead near its limit, to {step_ratio} what it was or more";
constexpr std::string_view drive_stands_it =
    "No retraction is longer or faster than the drive stands[, taken as {drive}]";
constexpr std::string_view gear_passes_few =
    "No point of the filament passes the drive gear more than {gear_passes} times; up to {note_passes} do it no harm";
constexpr std::string_view dwells_short =
    "The hot nozzle stands idle for no more than {over_part_note_s} over the part, or {parked_note_s} anywhere";

constexpr auto table = std::to_array<Bearing>({
    {"cold-extrusion", clogging, true, Reach::earlier,
     "No bead is laid with a nozzle too cold to melt the filament[; while beads are laid it is set to {nozzle}]"},
    {"dense-retraction", clogging, true, Reach::earlier, gear_passes_few},
    {"dense-retraction", under_extrusion, true, Reach::earlier, gear_passes_few},
    {"excess-flow", clogging, false, Reach::earlier, flow_within_reach},
    {"excess-flow", tube_pushed_out, false, Reach::earlier, flow_within_reach},
    {"excess-flow", under_extrusion, true, Reach::place, flow_within_reach},
    {"excess-flow", weak_layers, true, Reach::place, flow_within_reach},
    {"flow-step", blobs, true, Reach::place, flow_steady},
    {"flow-step", under_extrusion, true, Reach::place, flow_steady},
    {"heat-creep", clogging, true, Reach::earlier,
     "Nothing softens the filament above the melt zone: no chamber near where it softens, no {long_pulls} longer than "
     "suits the drive, no hot nozzle through which it creeps at more than {slow_s} for a melt zone's length"},
    {"high-feed-pressure", clogging, true, Reach::earlier,
     "Feeding, at up to {peak_flow}, stays below {load_ratio} of the force, or {share_ratio} of the flow, that drive "
     "and filament bear"},
    {"high-feed-pressure", tube_pushed_out, true, Reach::earlier,
     "Feeding, at up to {peak_flow}, stays below {load_ratio} of the force, or {share_ratio} of the flow, that drive "
     "and tube bear"},
    {"hot-dwell", clogging, true, Reach::earlier, dwells_short},
    {"hot-dwell", stringing, false, Reach::place, dwells_short},
    {"implausible-bead", blobs, true, Reach::place,
     "No bead and no push takes more filament than belongs there (up to {blob_mm} beyond a bead's own length, "
     "{push_mm} standing), and no more than {wide_share_ratio} of the length is wider than {wide_ratio} the nozzle"},
    {"implausible-bead", under_extrusion, true, Reach::place,
     "E is read in the mode in which it is written, and no more than {round_share_ratio} of the printed length is "
     "narrower than high"},
    {"liner-overheat", clogging, true, Reach::earlier,
     "A liner, if there is one, is not overheated[: the nozzle is set to {nozzle}]; a lined hot end stands "
     "{warning_c}"},
    {"long-retraction", clogging, true, Reach::earlier, drive_stands_it},
    {"long-retraction", stringing, false, Reach::place, drive_stands_it},
    {"low-travel", knocked_loose, true, Reach::below,
     "No travel passes in contact through a feature so slender that it gives way to {push_n}"},
    {"low-travel", scarring, true, Reach::place,
     "Travels pass in contact over less than {note_scar_mm} of finished tops in the whole job"},
    {"mid-print-homing", knocked_loose, true, Reach::below,
     "The file neither homes Z nor probes once a part stands on the plate"},
    {"open-fill", rough_first_layer, true, Reach::place,
     "The fill on the plate closes: less than {uncovered_ratio} of a region stays open, and no slit is longer than "
     "{slit_mm}"},
    {"open-fill", rough_top, true, Reach::place,
     "The fill of the tops closes: less than {uncovered_ratio} of a region stays open, and no slit is longer than "
     "{slit_mm}"},
    {"open-fill", weak_layers, false, Reach::place, "No solid fill stays open by more than {weak_ratio}"},
    {"open-travel", stringing, true, Reach::place,
     "Filament is pulled back before the gaps ({retractions} retractions in the job): fewer than {note_crossings}, or "
     "less than {note_mm} of open air, are left under pressure"},
    {"short-layer-time", sagging, true, Reach::place,
     "Layers leave the plastic below the time to set ({layers} layers in {duration}): no {note_layers} on end come too "
     "soon"},
    {"short-spool", runout, true, Reach::earlier, "The spool holds more than the {fed} that the job feeds"},
    {"small-footprint", knocked_loose, true, Reach::below,
     "Every piece has foot enough for its height: {pull_n} sideways at its top take less than {note_ratio} of a hold "
     "of {adhesion_mpa}"},
    {"temperature-out-of-range", clogging, false, Reach::earlier,
     "The nozzle[, at {nozzle},] is set no more than {margin_c} outside what [{material}|the material] is printed at"},
    {"temperature-out-of-range", stringing, true, Reach::place,
     "The nozzle[, at {nozzle},] is set no more than {margin_c} above what [{material}|the material] is printed at"},
    {"temperature-out-of-range", weak_layers, true, Reach::place,
     "The nozzle[, at {nozzle},] is set no more than {margin_c} below what [{material}|the material] is printed at"},
    {"thin-stroke", illegible_text, true, Reach::place,
     "No lettering that was recognised has strokes under {stroke_mm} or gaps that close"},
    {"travel-collision", knocked_loose, true, Reach::below,
     "No travel and no bead runs into what stands, {depth_mm} or more below its top"},
    {"unbalanced-retraction", blobs, true, Reach::place,
     "Primes give no more than was pulled: less than {drift_mm} too much over the job"},
    {"unbalanced-retraction", stringing, false, Reach::place,
     "Primes give no more than was pulled: less than {drift_mm} too much over the job"},
    {"unbalanced-retraction", under_extrusion, true, Reach::place,
     "Primes give back what was pulled: less than {drift_mm} are missing over the job"},
    {"unhomed-move", knocked_loose, true, Reach::earlier,
     "The axes are homed, by the file or by a macro that it calls, before the first bead"},
    {"unready-filament-change", scarring, true, Reach::place,
     "No stop and no change of filament leaves the nozzle on the part or breaks a bead in two"},
    {"unready-filament-change", stringing, true, Reach::place,
     "No stop and no change of filament comes with the nozzle under pressure"},
    {"unsupported-bead", sagging, true, Reach::place,
     "Nothing to speak of is laid over air: no bridge longer than {short_bridge_mm}, no {path_mm} of bead with less "
     "than {note_share_ratio} of its width carried"},
    {"warp-prone", knocked_loose, false, Reach::below,
     "No piece shrinks enough to tear itself off: {note_mm} or less over its length, or {strain_ratio} or less at any "
     "length"},
    {"warp-prone", warping, true, Reach::below,
     "No piece shrinks enough to lift its ends: {note_mm} or less over its length, or {strain_ratio} or less at any "
     "length"},
    {"weak-first-layer", knocked_loose, true, Reach::below,
     "The first layer is laid low, wide, slowly and warm enough to hold: no higher than {highest_ratio} of the nozzle, "
     "outlines at {note_mm_per_s} or less[, on a bed set to {bed}]"},
    {"weak-first-layer", rough_first_layer, true, Reach::place,
     "The first layer is laid at an ordinary height, width and speed: at {lowest_ratio} of the nozzle or more, in "
     "beads "
     "of {narrowest_ratio} of it or more, outlines at {note_mm_per_s} or less"},
});

struct Foundation {
  std::string_view check;
  std::array<std::string_view, 3> keys;
};

constexpr auto foundations = std::to_array<Foundation>({
    {"cold-extrusion", {"filament.material"}},
    {"excess-flow", {"filament.material", "machine.melt_zone_mm", "machine.filament_diameter_mm"}},
    {"flow-step", {"filament.material", "machine.melt_zone_mm"}},
    {"heat-creep", {"filament.material", "machine.drive", "machine.melt_zone_mm"}},
    {"high-feed-pressure", {"filament.material", "machine.drive", "machine.melt_zone_mm"}},
    {"implausible-bead", {"machine.nozzle_diameter_mm", "machine.filament_diameter_mm", "machine.e_unit"}},
    {"long-retraction", {"machine.drive"}},
    {"open-fill", {"machine.filament_diameter_mm"}},
    {"open-travel", {"machine.drive", "filament.material"}},
    {"short-layer-time", {"filament.material"}},
    {"small-footprint", {"machine.filament_diameter_mm"}},
    {"temperature-out-of-range", {"filament.material"}},
    {"thin-stroke", {"machine.nozzle_diameter_mm"}},
    {"unsupported-bead", {"filament.material"}},
    {"warp-prone", {"filament.material"}},
    {"weak-first-layer", {"machine.nozzle_diameter_mm", "filament.material"}},
});

}  // namespace

std::span<const Bearing> bearings() { return table; }

std::vector<std::string_view> rests_on(std::string_view check) {
  const auto found = std::find_if(foundations.begin(), foundations.end(),
                                  [&](const Foundation& foundation) { return foundation.check == check; });
  std::vector<std::string_view> keys;
  if (found == foundations.end()) return keys;
  std::copy_if(found->keys.begin(), found->keys.end(), std::back_inserter(keys),
               [](std::string_view key) { return !key.empty(); });
  return keys;
}

}  // namespace beadwise
