#include "report/cautions.hpp"

#include <algorithm>
#include <initializer_list>
#include <string>

#include "base/lower_case.hpp"

namespace beadwise {

namespace {

constexpr std::string_view hot_parts =
    "Nozzle, hot end and bed burn, and stay hot long after they are switched off: let them cool, or follow the "
    "machine maker's manual for work on them while hot.";
constexpr std::string_view more_heat =
    "More heat gives more fumes and wears the hot end: stay within what the makers of filament and machine allow, "
    "air the room, and do not leave a heated machine alone.";
constexpr std::string_view liner_fumes =
    "An overheated fluoropolymer liner gives off harmful fumes: go by the hot end's manual, and air the room.";
constexpr std::string_view unwatched =
    "A heater that stays on unwatched is a fire risk: do not leave the machine alone, and switch it off by its own "
    "manual.";

bool has_any(const std::string& text, std::initializer_list<std::string_view> words) {
  return std::any_of(words.begin(), words.end(),
                     [&](std::string_view word) { return text.find(word) != std::string::npos; });
}

bool shows(const Finding& finding, Symptom symptom) {
  return std::find(finding.symptoms.begin(), finding.symptoms.end(), symptom) != finding.symptoms.end();
}

/// A clogged nozzle, or a tube that was pushed out, is looked after with the hands.
bool asks_for_hands(const Finding& finding, const std::string& remedy) {
  return shows(finding, Symptom::clogging) || shows(finding, Symptom::tube_pushed_out) ||
         has_any(remedy, {"hot end", "fit one", "reach in", "purge", "guide tube"});
}

bool asks_for_heat(const std::string& remedy) {
  const bool sets_nozzle = has_any(remedy, {"set the nozzle to"}) && !has_any(remedy, {"°c or less"});
  return sets_nozzle || has_any(remedy, {"hotter", "°c or more", "m109 s"});
}

}  // namespace

std::vector<std::string_view> cautions_for(const Finding& finding) {
  const std::string remedy = lower_case(finding.remedy);
  const std::string what = lower_case(finding.what);
  std::vector<std::string_view> cautions;
  if (asks_for_hands(finding, remedy)) cautions.push_back(hot_parts);
  if (asks_for_heat(remedy)) cautions.push_back(more_heat);
  if (has_any(what + remedy, {"liner"})) cautions.push_back(liner_fumes);
  if (has_any(what, {"still on", "stays on"}) || has_any(remedy, {"heaters off"})) cautions.push_back(unwatched);
  return cautions;
}

}  // namespace beadwise
