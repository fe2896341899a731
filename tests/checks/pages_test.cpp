#include <doctest/doctest.h>

#include <algorithm>
#include <charconv>
#include <set>

#include "beadwise/check.hpp"
#include "checks/checks_page.hpp"
#include "checks/contract_table.hpp"
#include "checks/judge.hpp"
#include "checks/page.hpp"
#include "support/files.hpp"

namespace beadwise::tests {
namespace {

const std::vector<std::string> fixed_headings{"What it looks for", "Why it fails", "How it is measured",
                                              "Thresholds",        "Remedy",       "When to ignore it",
                                              "Examples",          "Sources"};

std::filesystem::path folder_of(const RegisteredCheck& check) {
  std::string folder(check.name);
  std::replace(folder.begin(), folder.end(), '-', '_');
  return source_folder() / "lib/src/checks" / folder;
}

std::vector<Example> cases_of(const RegisteredCheck& check) {
  std::vector<Example> cases;
  for (const std::filesystem::path& path : files_below(folder_of(check) / "cases", {".gcode"})) {
    const std::string name = path.filename().string();
    const bool flagged = name.rfind("flagged_", 0) == 0;
    INFO(path.string());
    CHECK((flagged || name.rfind("clean_", 0) == 0));
    cases.push_back(read_example(name, read_file(path), flagged));
  }
  return cases;
}

std::vector<Example> examples_of(const RegisteredCheck& check) {
  std::vector<Example> examples = read_page(check.page).examples;
  for (Example& one : cases_of(check)) examples.push_back(std::move(one));
  return examples;
}

void judge_examples(const RegisteredCheck& check, const std::vector<Example>& examples, bool say_what_is_skipped) {
  for (const Example& example : examples) {
    const FileReport report = report_of(example, check.name);
    for (const std::string& sentence : mismatches(example, check.name, report.findings))
      FAIL_CHECK(check.name, ", ", example.name, ": ", sentence);
    REQUIRE(report.checks.size() == 1);
    if (!say_what_is_skipped) continue;
    for (const std::string& sentence : skip_mismatches(example, report.checks[0].because))
      FAIL_CHECK(check.name, ", ", example.name, ": ", sentence);
  }
}

bool has_both_kinds(const std::vector<Example>& examples) {
  const auto flagged = std::count_if(examples.begin(), examples.end(), [](const Example& one) { return one.flagged; });
  return flagged > 0 && flagged < static_cast<std::ptrdiff_t>(examples.size());
}

const Promise* promise_of(std::string_view check) {
  const auto& table = promised_checks();
  const auto row = std::find_if(table.begin(), table.end(), [&](const Promise& one) { return one.check == check; });
  return row == table.end() ? nullptr : &*row;
}

TEST_CASE("every folder with a check is registered") {
  std::size_t folders = 0;
  for (const std::filesystem::path& path : files_below(source_folder() / "lib/src/checks", {".cpp"}))
    folders += path.filename() == "check.cpp" ? 1 : 0;
  CHECK(folders == all_checks().size());
}

TEST_CASE("a page has its name, one line that sums it up, and the fixed headings in order") {
  for (const RegisteredCheck& check : all_checks()) {
    INFO(check.name);
    const Page page = read_page(check.page);
    CHECK(page.title == check.name);
    CHECK(!page.summary.empty());
    CHECK(page.summary == summary_of(check));
    CHECK(page.headings == fixed_headings);
  }
}

TEST_CASE("the table of thresholds on a page says what the code does") {
  for (const RegisteredCheck& check : all_checks()) {
    const std::vector<ThresholdRow> rows = read_page(check.page).thresholds;
    const std::vector<Threshold>& thresholds = check.describe().thresholds;
    INFO(check.name);
    CHECK(rows.size() == thresholds.size());
    for (std::size_t index = 0; index < std::min(rows.size(), thresholds.size()); ++index) {
      const ThresholdRow& row = rows[index];
      double built_in = 0;
      const auto [end, error] =
          std::from_chars(row.built_in.data(), row.built_in.data() + row.built_in.size(), built_in);
      CHECK(row.key == thresholds[index].key);
      CHECK((error == std::errc() && end == row.built_in.data() + row.built_in.size()));
      CHECK(built_in == thresholds[index].built_in);
      CHECK(row.unit == thresholds[index].unit);
      CHECK(row.meaning == thresholds[index].meaning);
      CHECK(row.source == thresholds[index].source);
    }
  }
}

TEST_CASE("a check says no more than is promised: its severities and symptoms") {
  for (const RegisteredCheck& check : all_checks()) {
    INFO(check.name);
    const Promise* promise = promise_of(check.name);
    REQUIRE(promise != nullptr);
    CHECK(check.describe().severities == promise->severities);
    CHECK(check.describe().symptoms == promise->symptoms);
  }
}

TEST_CASE("the examples on the pages give exactly what they mark") {
  for (const RegisteredCheck& check : all_checks()) judge_examples(check, read_page(check.page).examples, false);
}

TEST_CASE("the cases beside the checks give exactly what they mark") {
  for (const RegisteredCheck& check : all_checks()) judge_examples(check, cases_of(check), true);
}

TEST_CASE("every check shows what it finds and what it leaves alone, on its page and in its cases") {
  for (const RegisteredCheck& check : all_checks()) {
    INFO(check.name);
    CHECK(has_both_kinds(read_page(check.page).examples));
    CHECK(has_both_kinds(cases_of(check)));
  }
}

TEST_CASE("every severity of a check is reached by an example, and no other; its findings are whole") {
  for (const RegisteredCheck& check : all_checks()) {
    const Description& description = check.describe();
    std::set<Severity> reached;
    for (const Example& example : examples_of(check)) {
      for (const Finding& finding : report_of(example, check.name).findings) {
        INFO(check.name, ", ", example.name, ": ", finding.what);
        reached.insert(finding.severity);
        CHECK((!finding.what.empty() && !finding.why.empty() && !finding.remedy.empty() && !finding.key.empty()));
        // What is no print has no place in the machine.
        CHECK(finding.places.has_box() == (check.name != "not-a-print"));
        for (const Symptom symptom : finding.symptoms)
          CHECK(std::count(description.symptoms.begin(), description.symptoms.end(), symptom) == 1);
      }
    }
    INFO(check.name);
    CHECK(reached == std::set<Severity>(description.severities.begin(), description.severities.end()));
  }
}

TEST_CASE("docs/checks.md is what the pages say (cmake --build build --target beadwise_docs)") {
  const std::filesystem::path path = source_folder() / "docs/checks.md";
  REQUIRE(std::filesystem::exists(path));
  CHECK((read_file(path) == checks_page()));
}

}  // namespace
}  // namespace beadwise::tests
