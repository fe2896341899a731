#include "checks/judge.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "beadwise/analyse.hpp"

namespace beadwise::tests {

namespace {

bool answers(const Finding& finding, const Expectation& expectation) {
  if (expectation.severity && *expectation.severity != finding.severity) return false;
  if (expectation.line == 0) return true;
  return finding.places.first_line() <= expectation.line && expectation.line <= finding.places.last_line();
}

/// Marks that ask for more are served first, so that one that takes any finding does not take theirs.
std::vector<Expectation> strictest_first(std::vector<Expectation> expectations) {
  const auto freedom = [](const Expectation& one) { return (one.line == 0 ? 2 : 0) + (one.severity ? 0 : 1); };
  std::stable_sort(expectations.begin(), expectations.end(),
                   [&](const Expectation& a, const Expectation& b) { return freedom(a) < freedom(b); });
  return expectations;
}

std::string described(const Expectation& expectation) {
  std::string text = expectation.check;
  if (expectation.severity) text += ' ' + std::string(to_string(*expectation.severity));
  if (expectation.line > 0) text += " at line " + std::to_string(expectation.line);
  return text;
}

std::string described(const Finding& finding) {
  return finding.check + ' ' + std::string(to_string(finding.severity)) + " at lines " +
         std::to_string(finding.places.first_line()) + " to " + std::to_string(finding.places.last_line()) + ": " +
         finding.what;
}

/// All words and figures of a finding: "… 31 of 30 passes, count 48, lines 12 to 80, symptoms clogging, blobs".
std::string told(const Finding& finding) {
  const Places& places = finding.places;
  std::string text = finding.what + ' ' + finding.why + ' ' + finding.remedy + ' ';
  if (const auto& measured = finding.measured)
    text += fmt::format("{:.6g} of {:.6g} {}, ", measured->value, measured->limit, measured->unit);
  text += fmt::format("count {}, lines {} to {}", places.count(), places.first_line(), places.last_line());
  for (const Symptom symptom : finding.symptoms)
    text += (symptom == finding.symptoms.front() ? ", symptoms " : ", ") + std::string(to_string(symptom));
  return text;
}

}  // namespace

FileReport report_of(const Example& example, std::string_view check) {
  AnalyseOptions options;
  options.only = {std::string(check)};
  options.sets = example.sets;
  options.threads = 1;
  return analyse(Source::memory(example.name, example.gcode), options);
}

std::vector<std::string> mismatches(const Example& example, std::string_view check,
                                    const std::vector<Finding>& findings) {
  std::vector<std::string> wrong;
  if (example.flagged && example.expectations.empty()) wrong.push_back("a flagged example marks nothing");
  if (!example.flagged && !example.expectations.empty()) wrong.push_back("a clean example marks something");
  for (const std::string& words : example.tells) {
    const auto tells = [&](const Finding& one) { return told(one).find(words) != std::string::npos; };
    if (std::any_of(findings.begin(), findings.end(), tells)) continue;
    wrong.push_back("not told: " + words);
    for (const Finding& finding : findings) wrong.back() += "; told: " + told(finding);
  }
  std::vector<Finding> left = findings;
  for (const Expectation& expectation : strictest_first(example.expectations)) {
    if (expectation.check != check) wrong.push_back("marks another check: " + described(expectation));
    const auto match =
        std::find_if(left.begin(), left.end(), [&](const Finding& one) { return answers(one, expectation); });
    if (match == left.end())
      wrong.push_back("not found: " + described(expectation));
    else
      left.erase(match);
  }
  for (const Finding& finding : left) wrong.push_back("not marked: " + described(finding));
  return wrong;
}

std::vector<std::string> skip_mismatches(const Example& example, const std::optional<std::string>& because) {
  std::vector<std::string> wrong;
  if (because && example.skips.empty()) wrong.push_back("is not judged, and does not say so: " + *because);
  for (const std::string& words : example.skips)
    if (!because || because->find(words) == std::string::npos)
      wrong.push_back("is judged, or left out for another reason than: " + words +
                      (because ? "; told: " + *because : ""));
  return wrong;
}

}  // namespace beadwise::tests
