#include "diagnose/by_hand.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include "report/cautions.hpp"

namespace beadwise {

namespace {

using enum Symptom;

/// Something at the bench that shows as certain symptoms.
struct Bench {
  std::string_view what;
  std::string_view test;
  std::string_view source;
};

constexpr std::string_view practice = "common practice";

constexpr Bench moist_filament = {
    "Moist filament",
    "Feed 100 mm through the hot nozzle into the air. A smooth, clear strand is dry; crackling, steam, bubbles or a "
    "rough "
    "strand are water. Dry it as its maker says (petg, for one, 4 h at about 65 °C), and print the same file again. pa "
    "and tpu draw most water, petg and pc less, pla and abs least.",
    "common practice; times and temperatures of moulding practice, from memory"};
constexpr Bench blocked_nozzle = {
    "A partly blocked nozzle",
    "Feed 100 mm slowly (2 mm/s) through the hot nozzle into the air. The strand should fall straight, as thick as the "
    "orifice or a little thicker, at an even push. One that curls to a side, comes in spurts or thinner than the "
    "orifice "
    "tells of a blockage: clean or change the nozzle by the hot end's manual.",
    practice};
constexpr Bench worn_gear = {
    "A worn or dirty drive gear",
    "Machine off, filament out. Look into the teeth with a lamp: dust between them is brushed out, rounded teeth want "
    "a new "
    "gear. On the filament the gear should leave even notches; a ground hollow shows where it slipped.",
    practice};
constexpr Bench feed_by_measure = {
    "A drive that feeds too little or too much",
    "Mark the filament 120 mm above the drive. Feed 100 mm at 2 mm/s through the hot nozzle. 20 mm should be left to "
    "the "
    "mark; 18 to 22 mm is within 2 %. Repeat it at 5 mm/s: less at the higher speed means that the drive slips.",
    practice};
constexpr Bench thick_filament = {
    "Filament of uneven thickness",
    "Measure it with calipers at ten places along 2 m, twice across each. 1 % of diameter is 2 % of flow; more than "
    "0.05 mm to either side shows, and what is thicker than the guide's bore jams.",
    "geometry: flow goes with the square of the diameter; the tolerance is common practice"};
constexpr Bench hot_end_fan = {"The hot end's own fan",
                               "Heat the nozzle: the fan over the cold side must turn as soon as that gets warm, "
                               "usually at 50 °C. Look for dust, a "
                               "blade that rubs, a duct that has slipped. The machine's manual tells which fan it is.",
                               practice};
constexpr Bench liner_gap = {"A gap behind the nozzle, or a burnt liner",
                             "With the hot end cold and taken apart by its manual: the tube or liner must end square "
                             "and sit on the nozzle. A brown "
                             "or swollen end is cut square or replaced.",
                             practice};
constexpr Bench tangled_spool = {"A spool that holds back",
                                 "Pull 1 m off by hand where the filament goes in: it should come evenly with two "
                                 "fingers. Look for a crossed turn, a "
                                 "rough guide, a spool that rubs.",
                                 practice};
constexpr Bench tube_play = {
    "Play of the guide tube, where there is one",
    "Mark the tube where it enters each coupling. Pull back and prime 5 mm by the machine's menu: a mark that moves by "
    "0.5 mm makes every pull shorter by that.",
    practice};
constexpr Bench coupling = {"A worn coupling",
                            "Machine off and cold. Pull at the tube by hand, as hard as at a stiff drawer: it must not "
                            "move by more than 0.5 mm. "
                            "Claws that have cut a groove into the tube want a new coupling, and the tube cut square.",
                            practice};
constexpr Bench thermometer = {"A nozzle that is not as hot as it says",
                               "Watch the reading for 5 min at the set temperature: it should stay within 2 °C, with "
                               "the part fan on and off. Jumps "
                               "tell of a loose sensor or wire: switch off and unplug before you look at wiring, and "
                               "leave mains parts to those who "
                               "are licensed for it.",
                               practice};
constexpr Bench leaking_nozzle = {
    "A hot end that leaks, or is dirty outside",
    "Look at the nozzle from the side with a lamp: plastic above its hexagon, or brown crumbs on the block, come out "
    "between nozzle and block or stick to it and fall onto the part. Clean it, and tighten it as its manual says.",
    practice};
constexpr Bench worn_nozzle = {
    "A nozzle that is worn wide, or is another than you think",
    "Lay a wall of one bead, 20 mm long and 5 mm high, set to be 0.45 mm wide, and measure it with calipers: 0.40 to "
    "0.50 mm is right. Read the size on the nozzle, and look whether its tip is still flat.",
    practice};
constexpr Bench loose_belt = {"A loose belt or play in the axes",
                              "Machine off. Pluck both belts: they should sound alike and dull, not slack. Push the "
                              "head and the bed in X, Y and Z "
                              "with a finger: nothing may click or give way before the belt does.",
                              practice};
constexpr Bench bed_distance = {"A bed that is too far, too near or not level",
                                "With bed and nozzle at printing temperature and wiped clean, pass a sheet of paper "
                                "(0.1 mm) below the nozzle at the "
                                "four corners and the middle: it should drag lightly at all five. Mind the heat.",
                                practice};
constexpr Bench dirty_plate = {
    "A dirty or worn plate",
    "Let it cool. Wash it with dish soap and hot water, dry it, and do not touch it again with fingers. Alcohol, if "
    "the "
    "plate's maker allows it, only on a cold plate, in an aired room, away from flames and sparks.",
    practice};
constexpr Bench cold_bed = {
    "A bed that is colder than it says, or at its edges",
    "Measure its surface with a contact thermometer in the middle and at the corners, 10 min after it has reached its "
    "temperature: 5 °C below what is set, or 10 °C colder corners, explain a lot.",
    practice};
constexpr Bench draught = {"A draught",
                           "Hold a thin strip of paper beside the part while it prints: it should hang still. Windows, "
                           "doors, a fan in the room. "
                           "Close a machine in only as its manual allows; air the room some other way.",
                           practice};
constexpr Bench part_fan = {"The part-cooling fan",
                            "Set it to full and hold a strip of paper 20 mm from the duct: it must be blown aside, on "
                            "both sides alike. Look for a "
                            "duct that is clogged, melted or slipped, and for a fan that starts only above half.",
                            practice};
constexpr Bench z_lift = {
    "An axis that does not lift",
    "Command a lift of 0.2 mm by the machine's menu and watch with a lamp from the side, or slide a feeler: the nozzle "
    "must rise each time and come back to the same paper-thin gap. Clean and grease the screw by the manual.",
    practice};
constexpr Bench bumps = {"Something in the way of the head",
                         "Machine off. Push the head by hand along the whole bed: cables, clips, the edge of the "
                         "plate, a tube that pulls. Look "
                         "for curled edges of the last print that stand up to the nozzle.",
                         practice};
constexpr Bench old_filament = {
    "Filament that is old, mixed or too cold in the bead",
    "Bend 100 mm of it by hand: pla that snaps at once is old or wet. Break a single-walled test box by hand along and "
    "across the layers, once printed from another spool.",
    practice};
constexpr Bench snapped = {"Filament that broke or was ground through before the spool was empty",
                           "Look at its end: a clean break is brittle filament, often moist; a hollow on one side was "
                           "ground by the gear; a hook is "
                           "the end of the spool, which was bent where it was held.",
                           practice};
constexpr Bench weigh_spool = {
    "What is really on the spool",
    "Weigh it on kitchen scales and take off the empty spool. 1 m of pla of 1.75 mm weighs 2.98 g (1.27 g/cm³ of petg: "
    "3.05 g). State it for the next job: --set filament.spool_mass_g=125 with the material.",
    "geometry: 2.405 mm² × 1 m × 1.24 g/cm³"};
constexpr Bench sensor = {
    "The filament sensor",
    "Take the filament out while nothing prints: the machine should say so at once. Dust in it keeps it closed.",
    practice};
constexpr Bench over_filled = {
    "Layers that are a little too full",
    "Lay a ruler across the top: beads that stand in ridges are too full, and the nozzle rubs over them. Measure how "
    "much the drive feeds before you change the file.",
    practice};

struct Shows {
  Symptom symptom;
  const Bench* bench;
};

// The likeliest of each symptom first.
constexpr auto table = std::to_array<Shows>({
    {stringing, &moist_filament},
    {stringing, &tube_play},
    {stringing, &thermometer},
    {stringing, &leaking_nozzle},
    {clogging, &blocked_nozzle},
    {clogging, &hot_end_fan},
    {clogging, &worn_gear},
    {clogging, &liner_gap},
    {clogging, &thick_filament},
    {clogging, &tangled_spool},
    {under_extrusion, &blocked_nozzle},
    {under_extrusion, &feed_by_measure},
    {under_extrusion, &worn_gear},
    {under_extrusion, &tangled_spool},
    {under_extrusion, &thick_filament},
    {under_extrusion, &tube_play},
    {blobs, &leaking_nozzle},
    {blobs, &moist_filament},
    {blobs, &feed_by_measure},
    {blobs, &thermometer},
    {weak_layers, &thermometer},
    {weak_layers, &draught},
    {weak_layers, &moist_filament},
    {weak_layers, &feed_by_measure},
    {weak_layers, &old_filament},
    {illegible_text, &worn_nozzle},
    {illegible_text, &bed_distance},
    {illegible_text, &loose_belt},
    {illegible_text, &feed_by_measure},
    {scarring, &over_filled},
    {scarring, &z_lift},
    {scarring, &leaking_nozzle},
    {rough_top, &feed_by_measure},
    {rough_top, &part_fan},
    {rough_top, &blocked_nozzle},
    {rough_top, &loose_belt},
    {rough_first_layer, &bed_distance},
    {rough_first_layer, &dirty_plate},
    {rough_first_layer, &feed_by_measure},
    {knocked_loose, &dirty_plate},
    {knocked_loose, &bed_distance},
    {knocked_loose, &cold_bed},
    {knocked_loose, &draught},
    {knocked_loose, &z_lift},
    {knocked_loose, &bumps},
    {warping, &cold_bed},
    {warping, &draught},
    {warping, &dirty_plate},
    {warping, &bed_distance},
    {sagging, &part_fan},
    {sagging, &thermometer},
    {sagging, &moist_filament},
    {tube_pushed_out, &coupling},
    {tube_pushed_out, &blocked_nozzle},
    {tube_pushed_out, &liner_gap},
    {tube_pushed_out, &thermometer},
    {runout, &weigh_spool},
    {runout, &snapped},
    {runout, &tangled_spool},
    {runout, &sensor},
});

}  // namespace

std::vector<Look> looks_for(std::span<const Symptom> symptoms) {
  std::vector<Look> looks;
  for (const Symptom symptom : symptoms) {
    for (const Shows& row : table) {
      if (row.symptom != symptom) continue;
      const auto told =
          std::find_if(looks.begin(), looks.end(), [&](const Look& look) { return look.what == row.bench->what; });
      if (told != looks.end()) {
        told->symptoms.push_back(symptom);
      } else {
        looks.push_back(
            {std::string(row.bench->what), std::string(row.bench->test), std::string(row.bench->source), {symptom}});
      }
    }
  }
  return looks;
}

std::vector<std::string> bench_cautions() {
  std::vector<std::string> cautions = {
      "The maker's manual comes first, and local rules: what this page says gives way to them. Mains parts are for "
      "those "
      "who are licensed for them.",
      "Switch off, unplug and let it cool before you touch wiring, fans, gears or belts; keep fingers, hair and "
      "sleeves "
      "away while anything can turn."};
  // Whoever looks by hand works as on a clogged nozzle.
  Finding by_hand;
  by_hand.symptoms = {Symptom::clogging};
  for (const std::string_view caution : cautions_for(by_hand)) cautions.emplace_back(caution);
  cautions.emplace_back(
      "Take hold of hot plastic with pliers. It gives off particles and vapours, abs, asa, hips and pa "
      "above all: air the room, and leave no heated machine alone.");
  return cautions;
}

}  // namespace beadwise
