#include "diagnose/levers.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <optional>
#include <regex>
#include <set>
#include <sstream>

#include "beadwise/check.hpp"
#include "beadwise/diagnose.hpp"
#include "unit/diagnose/known_findings.hpp"

namespace beadwise::tests {
namespace {

/// Words by which anybody hears what is to be turned, whichever check says them.
struct Heard {
  Lever lever;
  Way way;
  std::string words;  ///< a regular expression, in small
};

const std::vector<Heard>& heard() {
  static const std::vector<Heard> list = {
      {Lever::nozzle, Way::up, "\\bhotter\\b"},
      {Lever::nozzle, Way::up, "set the nozzle[^.]*°c or more"},
      {Lever::nozzle, Way::down, "print[^.]*colder|would string less|but no colder"},
      {Lever::nozzle, Way::down, "lower the nozzle temperature"},
      {Lever::nozzle, Way::down, "set (the|this) nozzle[^.]*(°c or less|°c lower)"},
      {Lever::bed, Way::up, "set the bed[^.]*°c or more"},
      {Lever::bed, Way::down, "set the bed[^.]*°c or less"},
      {Lever::speed, Way::down, "\\bslower\\b|\\bslowly\\b|% of (its|their|the) speed"},
      {Lever::speed, Way::up, "(ones|beads|lay|print)[^.]*\\bfaster\\b"},
      {Lever::pull_length, Way::down, "pull back [0-9.]+ mm or less|pull back no more than"},
      {Lever::pull_count, Way::down, "leave out (the )?retraction|not pull back there"},
      {Lever::pull_count, Way::up, "pull (the filament )?back before (these|them|it)"},
      {Lever::pull_length, Way::up, "pull back [0-9.]+ mm before"},
      {Lever::lift, Way::up, "\\b(lift the nozzle|a lift of|lift it by|lift by)\\b"},
      {Lever::fan, Way::up, "more fan|fan to full|strong fan|as much fan"},
      {Lever::fan, Way::down, "fan off"},
      {Lever::flow, Way::up, "feed [0-9.]+ % more"},
      {Lever::flow, Way::down, "lower the flow"},
  };
  return list;
}

std::string small(std::string text) {
  for (char& letter : text) letter = letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter - 'A' + 'a') : letter;
  return text;
}

bool turns(const Finding& finding, Lever lever, Way way) {
  const std::vector<Turn> all = turns_of(finding);
  return std::any_of(all.begin(), all.end(), [&](const Turn& turn) { return turn.lever == lever && turn.way == way; });
}

/// "… at 36 mm/s instead of 53", "to 227 °C instead of 210": the way from the second to the first.
std::optional<Way> way_of_exchange(const std::string& remedy, const std::string& unit) {
  std::smatch match;
  const std::regex exchange("([0-9.]+) " + unit + " instead of ([0-9.]+)");
  if (!std::regex_search(remedy, match, exchange)) return std::nullopt;
  return std::stod(match[1]) > std::stod(match[2]) ? Way::up : Way::down;
}

TEST_CASE("every check says what its remedies turn") {
  std::set<std::string_view> named;
  for (const LeverRow& row : lever_rows()) named.insert(row.check);
  for (const RegisteredCheck& check : all_checks()) {
    INFO(check.name);
    CHECK(named.erase(check.name) == 1);
  }
  CHECK(named.empty());
}

TEST_CASE("what a remedy says is what it is declared to turn, in every case of every check") {
  CHECK(findings_of_all_cases().size() > 100);
  for (const Finding& finding : findings_of_all_cases()) {
    const std::string remedy = small(finding.remedy);
    INFO(finding.check, ": ", finding.remedy);
    for (const Heard& one : heard()) {
      if (!std::regex_search(remedy, std::regex(one.words))) continue;
      INFO(one.words);
      CHECK(turns(finding, one.lever, one.way));
    }
    if (const auto way = way_of_exchange(remedy, "°c")) CHECK(turns(finding, Lever::nozzle, *way));
    if (const auto way = way_of_exchange(remedy, "mm/s")) CHECK(turns(finding, Lever::speed, *way));
    if (const auto way = way_of_exchange(remedy, "mm")) CHECK(turns(finding, Lever::pull_length, *way));
  }
}

/// The sources of a check and of what checks share, in small, with strings joined that the layout parts.
std::string sources_of(std::string_view check) {
  std::string folder(check);
  for (char& letter : folder) letter = letter == '-' ? '_' : letter;
  std::string text;
  for (const std::string& part : {folder, std::string("support")})
    for (const auto& path : files_below(source_folder() / "lib/src/checks" / part, {".cpp", ".hpp"}))
      text += read_file(path);
  return small(std::regex_replace(text, std::regex("\"\\s*\n\\s*\""), ""));
}

TEST_CASE("no row waits for words that no remedy says") {
  for (const LeverRow& row : lever_rows()) {
    if (row.words.empty()) continue;
    const std::string sources = sources_of(row.check);
    std::istringstream parts{std::string(row.words)};
    for (std::string part; std::getline(parts, part, '*');) {
      INFO(row.check, ": ", part);
      CHECK(sources.find(part) != std::string::npos);
    }
  }
}

TEST_CASE("guides stand in the order of the levers") {
  for (const LeverRow& row : lever_rows()) CHECK(guide_of(row.lever).lever == row.lever);
}

}  // namespace
}  // namespace beadwise::tests
