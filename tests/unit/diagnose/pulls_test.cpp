#include "diagnose/pulls.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <regex>

#include "unit/diagnose/known_findings.hpp"

namespace beadwise::tests {
namespace {

Finding finding_of(std::string check, Severity severity, std::vector<Symptom> symptoms, std::string remedy) {
  Finding finding;
  finding.check = std::move(check);
  finding.severity = severity;
  finding.symptoms = std::move(symptoms);
  finding.what = "Found.";
  finding.remedy = std::move(remedy);
  return finding;
}

FileReport report_with(std::vector<Finding> findings) {
  FileReport report;
  report.file = "row-label.gcode";
  report.job.emplace();
  for (const Finding& finding : findings) report.checks.push_back({finding.check, true, std::nullopt, 1});
  report.findings = std::move(findings);
  return report;
}

const Finding& too_much_flow() {
  static const Finding finding = finding_of(
      "excess-flow", Severity::warning, {Symptom::under_extrusion},
      "Lay the beads of layer 1 at 36 mm/s instead of 40, 90 % of their speed. Or set the nozzle to 227 °C instead of "
      "210 at this speed.");
  return finding;
}

const Finding& strings() {
  static const Finding finding = finding_of(
      "open-travel", Severity::warning, {Symptom::stringing},
      "Pull back before these travels: 0.8 mm are usual for a direct drive. 190 °C, the middle of the range, would "
      "string less than 210 °C.");
  return finding;
}

TEST_CASE("hotter for flow and colder against strings: it is said, with this file's figures and an order") {
  const Diagnosis both =
      diagnose(report_with({too_much_flow(), strings()}), seeing({Symptom::under_extrusion, Symptom::stringing}));
  REQUIRE(both.pulls.size() == 1);
  const Pull& pull = both.pulls.front();
  CHECK(pull.over == "the nozzle's temperature");
  CHECK(pull.up.check == "excess-flow");
  CHECK(pull.up.sentence == "Set the nozzle to 227 °C instead of 210 at this speed.");
  CHECK(pull.down.check == "open-travel");
  REQUIRE(pull.order.size() == 4);
  CHECK(pull.order[0].find("36 mm/s instead of 40") != std::string::npos);  // what pulls against nothing goes first
  CHECK(pull.order[1].find("0.8 mm are usual") != std::string::npos);
  CHECK(pull.order[2].find("5 °C at a time") != std::string::npos);
}

TEST_CASE("a remedy that would bring on something else that the file has is told, too; that one stands behind") {
  const Diagnosis one = diagnose(report_with({strings(), too_much_flow()}), seeing({Symptom::under_extrusion}));
  REQUIRE(one.causes.size() == 1);
  REQUIRE(one.pulls.size() == 1);
  CHECK(one.pulls.front().up.explains);
  CHECK(!one.pulls.front().down.explains);
  const std::string& then = one.pulls.front().order[2];
  CHECK(then.find("Then what excess-flow asks for") == 0);
}

TEST_CASE("what is turned for a moment pulls against nothing") {
  const Finding wait = finding_of("hot-dwell", Severity::warning, {Symptom::clogging},
                                  "Set the nozzle 20 °C lower or more before the wait and wait for the heat after it.");
  Finding flow = too_much_flow();
  flow.symptoms = {Symptom::clogging};
  const Diagnosis answer = diagnose(report_with({wait, flow}), seeing({Symptom::clogging}));
  CHECK(answer.causes.size() == 2);
  CHECK(answer.pulls.empty());
}

/// One finding for each way in which a check puts its remedy.
std::vector<Finding> one_of_each_remedy() {
  std::vector<Finding> kept;
  std::vector<std::string> known;
  for (const Finding& finding : findings_of_all_cases()) {
    const std::string put = finding.check + std::regex_replace(finding.remedy, std::regex("[0-9.]+"), "");
    if (finding.symptoms.empty() || std::find(known.begin(), known.end(), put) != known.end()) continue;
    known.push_back(put);
    kept.push_back(finding);
  }
  return kept;
}

TEST_CASE("of any two findings, one that says hotter and one that says colder never stand side by side unsaid") {
  const std::regex hotter("\\bhotter\\b|[Ss]et the nozzle[^.,]*(instead of [0-9]+ at|°C or more)");
  const std::regex colder(
      "[Pp]rint[^.]*colder|but no colder|would string less|lower the nozzle temperature|[Ss]et th(e|is) nozzle[^.]*°C "
      "or less");
  std::size_t pairs = 0;
  const std::vector<Finding> findings = one_of_each_remedy();
  for (const Finding& up : findings) {
    if (!std::regex_search(up.remedy, hotter)) continue;
    for (const Finding& down : findings) {
      if (up.check == down.check || !std::regex_search(down.remedy, colder)) continue;
      const Diagnosis answer = diagnose(report_with({up, down}), seeing({up.symptoms.front(), down.symptoms.front()}));
      INFO(up.check, ": ", up.remedy, "\n", down.check, ": ", down.remedy);
      CHECK(std::any_of(answer.pulls.begin(), answer.pulls.end(), [&](const Pull& pull) {
        return pull.up.check == up.check && pull.down.check == down.check && pull.order.size() >= 2;
      }));
      ++pairs;
    }
  }
  CHECK(pairs > 10);
}

}  // namespace
}  // namespace beadwise::tests
