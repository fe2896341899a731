// Runs one check over the page's examples, its cases and the example plates; ends with 1 at the first that is not as
// marked, else prints all that was found. Built by mutate.py.
#include <algorithm>
#include <cstdio>
#include <sstream>
#include <string>

#include "beadwise/analyse.hpp"
#include "beadwise/check.hpp"
#include "checks/judge.hpp"
#include "checks/page.hpp"
#include "support/files.hpp"

namespace beadwise::tests {
namespace {

void print(const Finding& finding) {
  const double value = finding.measured ? finding.measured->value : 0;
  const double limit = finding.measured ? finding.measured->limit : 0;
  std::printf("%s|%s|%.9g|%.9g|%llu|%llu|%llu|%.9g|%s|%s|%s\n", std::string(to_string(finding.severity)).c_str(),
              finding.key.c_str(), value, limit, static_cast<unsigned long long>(finding.places.count()),
              static_cast<unsigned long long>(finding.places.first_line()),
              static_cast<unsigned long long>(finding.places.last_line()), finding.places.worst_value(),
              finding.what.c_str(), finding.why.c_str(), finding.remedy.c_str());
}

bool is_whole(const Finding& finding, const Description& description) {
  if (finding.places.has_box() == (finding.check == "not-a-print")) return false;
  const auto& symptoms = description.symptoms;
  return !finding.what.empty() && !finding.why.empty() && !finding.remedy.empty() && !finding.key.empty() &&
         std::all_of(finding.symptoms.begin(), finding.symptoms.end(),
                     [&](Symptom one) { return std::find(symptoms.begin(), symptoms.end(), one) != symptoms.end(); });
}

bool holds(const RegisteredCheck& check, const Example& example, bool says_what_is_skipped) {
  const FileReport report = report_of(example, check.name);
  const std::vector<Finding>& findings = report.findings;
  for (const Finding& finding : findings) {
    print(finding);
    if (!is_whole(finding, check.describe())) return false;
  }
  std::vector<std::string> wrong = mismatches(example, check.name, findings);
  if (says_what_is_skipped)
    for (std::string& sentence : skip_mismatches(example, report.checks.at(0).because))
      wrong.push_back(std::move(sentence));
  for (const std::string& sentence : wrong) std::printf("%s: %s\n", example.name.c_str(), sentence.c_str());
  return wrong.empty();
}

bool plates_hold(const RegisteredCheck& check) {
  const std::filesystem::path folder = source_folder() / "examples/plates";
  std::istringstream rows(read_file(folder / "expected.tsv"));
  for (std::string row; std::getline(rows, row);) {
    std::istringstream cells(row);
    std::string file, expected, severity;
    std::getline(cells, file, '\t');
    std::getline(cells, expected, '\t');
    std::getline(cells, severity, '\t');
    if (file == "file") continue;
    AnalyseOptions options;
    options.only = {std::string(check.name)};
    options.threads = 1;
    bool found = expected != check.name;
    for (const Finding& finding : analyse(Source::file(folder / file), options).findings) {
      print(finding);
      if (expected != check.name && finding.severity != Severity::note) return false;
      found = found || to_string(finding.severity) == severity;
    }
    if (!found) return false;
  }
  return true;
}

bool all_hold(const RegisteredCheck& check, bool with_plates) {
  for (const Example& example : read_page(check.page).examples)
    if (!holds(check, example, false)) return false;
  std::string folder(check.name);
  std::replace(folder.begin(), folder.end(), '-', '_');
  for (const auto& path : files_below(source_folder() / "lib/src/checks" / folder / "cases", {".gcode"})) {
    const std::string name = path.filename().string();
    if (!holds(check, read_example(name, read_file(path), name.rfind("flagged_", 0) == 0), true)) return false;
  }
  return !with_plates || plates_hold(check);
}

}  // namespace
}  // namespace beadwise::tests

int main(int count, char** words) {
  const bool with_plates = count > 2 && std::string(words[2]) == "plates";
  for (const beadwise::RegisteredCheck& check : beadwise::all_checks())
    if (count > 1 && check.name == words[1]) return beadwise::tests::all_hold(check, with_plates) ? 0 : 1;
  return 2;
}
