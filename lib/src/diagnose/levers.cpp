#include "diagnose/levers.hpp"

#include <algorithm>
#include <array>

#include "base/lower_case.hpp"

namespace beadwise {

namespace {

using enum Lever;
constexpr Way up = Way::up;
constexpr Way down = Way::down;
constexpr bool passing = true;

constexpr auto rows = std::to_array<LeverRow>({
    {"bad-checksum", nozzle, up, ""},
    {"broken-arc", nozzle, up, ""},
    {"cold-extrusion", nozzle, up, "put `m109", passing},
    {"dense-retraction", pull_count, down, "leave out the retraction"},
    {"dense-retraction", pull_count, down, "not pull back"},
    {"dense-retraction", pull_length, down, "pull back*instead of"},
    {"excess-flow", speed, down, "mm/s instead of"},
    {"excess-flow", nozzle, up, "set the nozzle to"},
    {"flow-step", speed, down, "the fast beads at"},
    {"flow-step", speed, up, "the slow ones faster"},
    {"heat-creep", chamber, down, "stays below"},
    {"heat-creep", nozzle, down, "colder"},
    {"heat-creep", speed, up, "filament moves on"},
    {"heat-creep", pull_length, down, "pull back no more than"},
    {"heat-creep", pull_count, down, "leave out retractions"},
    {"heater-left-on", nozzle, up, ""},
    {"high-feed-pressure", speed, down, "slower"},
    {"high-feed-pressure", nozzle, up, "hotter"},
    {"high-feed-pressure", speed, down, "of the speed"},
    {"high-feed-pressure", pull_count, down, "seldom"},
    {"hot-dwell", nozzle, down, "lower*wait", passing},
    {"hot-dwell", nozzle, down, "before the stop*lower", passing},
    {"hot-dwell", lift, up, "lift", passing},
    {"hot-dwell", pull_count, up, "pull back", passing},
    {"hot-dwell", speed, down, "more slowly"},
    {"implausible-bead", flow, down, "times less filament"},
    {"liner-overheat", nozzle, down, "°c or less"},
    {"long-retraction", pull_length, down, "pull back*mm or less"},
    {"long-retraction", nozzle, down, "lower the nozzle temperature"},
    {"low-travel", lift, up, "lift"},
    {"low-travel", pull_count, up, "pull the filament back"},
    {"low-travel", flow, down, "lower the flow"},
    {"mid-print-homing", lift, up, "lifted", passing},
    {"not-a-print", nozzle, up, ""},
    {"open-fill", flow, up, "feed*more"},
    {"open-travel", pull_length, up, "pull back*mm before"},
    {"open-travel", pull_count, up, "pull back before"},
    {"open-travel", nozzle, down, "would string less"},
    {"open-travel", lift, up, "lift of"},
    {"outside-build-volume", nozzle, up, ""},
    {"short-layer-time", speed, down, "of its speed"},
    {"short-layer-time", fan, up, "more fan"},
    {"short-layer-time", fan, up, "set the fan to"},
    {"short-spool", nozzle, up, ""},
    {"small-footprint", lift, up, "lift the nozzle"},
    {"small-footprint", speed, down, "slowly"},
    {"temperature-out-of-range", nozzle, down, "nozzle*°c or less"},
    {"temperature-out-of-range", nozzle, up, "nozzle*°c or more"},
    {"temperature-out-of-range", bed, down, "bed*°c or less"},
    {"temperature-out-of-range", bed, up, "bed*°c or more"},
    {"thin-stroke", lift, up, "lift the nozzle by"},
    {"thin-stroke", pull_count, up, "pull back before"},
    {"thin-stroke", pull_count, up, "pull back last"},
    {"thin-stroke", pull_length, up, "pull back*mm before"},
    {"thin-stroke", nozzle, down, "would string less"},
    {"thin-stroke", nozzle, down, "but no colder"},
    {"thin-stroke", nozzle, down, "may it be"},
    {"thin-stroke", speed, down, "more slowly"},
    {"thin-stroke", speed, down, "of their speed"},
    {"travel-collision", lift, up, "let the head rise"},
    {"truncated-file", nozzle, up, ""},
    {"unbalanced-retraction", nozzle, up, ""},
    {"unhomed-move", nozzle, up, ""},
    {"unread-line", nozzle, up, ""},
    {"unready-filament-change", pull_count, up, "pull back", passing},
    {"unready-filament-change", lift, up, "lift", passing},
    {"unsupported-bead", speed, down, "20 to 40 mm/s"},
    {"unsupported-bead", speed, down, "slow"},
    {"unsupported-bead", fan, up, "set the fan to full"},
    {"unsupported-bead", fan, up, "more fan"},
    {"unsupported-bead", fan, up, "as much fan"},
    {"unsupported-bead", fan, up, "a strong fan"},
    {"unsupported-bead", fan, up, "cooled"},
    {"warp-prone", fan, down, "leave the fan off"},
    {"warp-prone", bed, up, "bed as warm"},
    {"warp-prone", chamber, up, "closed chamber"},
    {"weak-first-layer", bed, up, "set the bed to"},
    {"weak-first-layer", speed, down, "lay the first layer*mm/s"},
    {"weak-first-layer", fan, down, "fan on with the"},
    {"wrong-machine", nozzle, up, ""},
});

constexpr auto guides = std::to_array<LeverGuide>({
    {nozzle, "the nozzle's temperature", "", "5 °C at a time, within what the makers of filament and hot end allow",
     "Where no temperature serves both: slower beads, a wider nozzle or a longer melt zone against the one, dry "
     "filament "
     "against the other."},
    {bed, "the bed's temperature", "Look up what the maker of the filament gives, and begin in the middle of it.",
     "5 °C at a time", "Where neither holds: a brim or a raft at the usual temperature."},
    {chamber, "the warmth around the part",
     "Shield the part from draughts first: that warms nothing above the hot end. Look whether the hot end's own fan "
     "turns and draws air from outside.",
     "5 °C at a time, only as the machine's manual allows",
     "Where the chamber cannot be both: a brim or a raft, and a chamber on the cool side."},
    {speed, "the speed", "Change the layers or beads that are named, not the speed of the whole job.", "10 % at a time",
     "Where slower layers soak up heat: print two or more of the part at once, so that the layer takes longer and "
     "filament still moves on."},
    {pull_length, "how far filament is pulled back",
     "Let travels stay inside the outline where they can: they neither string nor need a pull.", "0.2 mm at a time",
     "Where neither length serves: dry filament, and fewer gaps on one layer (print parts apart, or turn them)."},
    {pull_count, "how often filament is pulled back",
     "Let travels stay inside the outline where they can: they neither string nor need a pull.",
     "on the layers that are named alone, and not on the others",
     "Where neither does: shorter pulls at the same places, and dry filament."},
    {lift, "lifts of the nozzle",
     "Lift without pulling back, where the slicing program lets you: a lift wears no filament.",
     "on the layers that are named alone, and not on the others",
     "Where each lift brings a pull: let travels go around what is printed instead."},
    {fan, "the part-cooling fan",
     "Fan for bridges, overhangs and small layers alone; none for the first layers and long walls.",
     "a tenth of its speed at a time",
     "Where neither does: more time for a layer, or support below, instead of more fan."},
    {flow, "the flow", "Look whether the machine feeds what it is told: mark the filament, feed 100 mm, measure.",
     "2 % at a time, and in the regions that are named where the slicing program lets you",
     "Where neither does: change widths or spacing of lines rather than the flow."},
});

bool holds(std::string_view sentence, std::string_view words) {
  while (true) {
    const std::size_t star = words.find('*');
    const std::string_view part = words.substr(0, star);
    const std::size_t at = sentence.find(part);
    if (at == std::string_view::npos) return false;
    if (star == std::string_view::npos) return true;
    sentence.remove_prefix(at + part.size());
    words.remove_prefix(star + 1);
  }
}

/// The text cut behind each full stop that a blank follows.
std::vector<std::string> sentences_of(std::string_view text) {
  std::vector<std::string> sentences;
  while (!text.empty()) {
    const std::size_t stop = text.find(". ");
    const std::size_t length = stop == std::string_view::npos ? text.size() : stop + 1;
    sentences.emplace_back(text.substr(0, length));
    text.remove_prefix(std::min(length + 1, text.size()));
  }
  return sentences;
}

}  // namespace

std::span<const LeverRow> lever_rows() { return rows; }

std::vector<Turn> turns_of(const Finding& finding) {
  std::vector<Turn> turns;
  for (const std::string& sentence : sentences_of(finding.remedy)) {
    const std::string small = lower_case(sentence);
    for (const LeverRow& row : rows) {
      if (row.check != finding.check || row.words.empty() || !holds(small, row.words)) continue;
      const bool told = std::any_of(turns.begin(), turns.end(), [&](const Turn& turn) {
        return turn.lever == row.lever && turn.way == row.way && turn.sentence == sentence;
      });
      if (!told) turns.push_back({row.lever, row.way, row.passing, sentence});
    }
  }
  return turns;
}

const LeverGuide& guide_of(Lever lever) { return guides.at(static_cast<std::size_t>(lever)); }

}  // namespace beadwise
