#include "checks/page.hpp"

#include <doctest/doctest.h>

#include "checks/judge.hpp"

namespace beadwise::tests {
namespace {

Finding warning_at(std::uint64_t line) {
  Finding finding;
  finding.check = "example";
  finding.severity = Severity::warning;
  finding.places.add({.line = line});
  return finding;
}

TEST_CASE("a page is read: title, summary, headings, thresholds, examples") {
  const Page page = read_page(
      "# example\n\nWhat it is about.\n\n## Thresholds\n\n"
      "| key | default | unit | meaning | source |\n| --- | --- | --- | --- | --- |\n"
      "| `passes` | 30 | passes | gear passes of one point | common practice |\n\n"
      "## Examples\n\n```gcode flagged\n; set: machine.liner=true\nG1 X1 E1 ; expect: example warning\n```\n"
      "```gcode clean\n## no heading\nG1 X1\n```\n```text\nanything\n```\n");
  CHECK(page.title == "example");
  CHECK(page.summary == "What it is about.");
  CHECK(page.headings == std::vector<std::string>{"Thresholds", "Examples"});
  REQUIRE(page.thresholds.size() == 1);
  CHECK(page.thresholds[0].key == "passes");
  CHECK(page.thresholds[0].built_in == "30");
  CHECK(page.thresholds[0].source == "common practice");
  REQUIRE(page.examples.size() == 2);
  CHECK(page.examples[0].flagged);
  CHECK(page.examples[0].sets == std::vector<std::string>{"machine.liner=true"});
  REQUIRE(page.examples[0].expectations.size() == 1);
  CHECK(page.examples[0].expectations[0].line == 2);
  CHECK(page.examples[0].expectations[0].severity == Severity::warning);
  CHECK(!page.examples[1].flagged);
}

TEST_CASE("a page whose block is not closed is a mistake") {
  CHECK_THROWS_AS(read_page("# example\n```gcode clean\nG1 X1\n"), std::runtime_error);
}

TEST_CASE("a mark behind code wants its finding there; a mark on its own line takes any place") {
  const Example at_two = read_example("at two", "G28\nG1 X1 E1 ; expect: example\n", true);
  CHECK(mismatches(at_two, "example", {warning_at(2)}).empty());
  CHECK(mismatches(at_two, "example", {warning_at(1)}).size() == 2);
  const Example anywhere = read_example("anywhere", "; expect: example warning\nG28\n", true);
  CHECK(mismatches(anywhere, "example", {warning_at(2)}).empty());
}

TEST_CASE("a finding too many, one too few, another severity, another check are all seen") {
  const Example one = read_example("one", "; expect: example warning\n", true);
  CHECK(mismatches(one, "example", {}).size() == 1);
  CHECK(mismatches(one, "example", {warning_at(1), warning_at(2)}).size() == 1);
  CHECK(mismatches(read_example("error", "; expect: example error\n", true), "example", {warning_at(1)}).size() == 2);
  CHECK(mismatches(read_example("other", "; expect: another\n", true), "example", {warning_at(1)}).size() == 1);
}

TEST_CASE("a flagged example must mark something, a clean one nothing") {
  CHECK(mismatches(read_example("flagged", "G28\n", true), "example", {}).size() == 1);
  CHECK(mismatches(read_example("clean", "G28\n", false), "example", {}).empty());
  CHECK(mismatches(read_example("clean", "G28\n", false), "example", {warning_at(1)}).size() == 1);
}

TEST_CASE("an example that a check does not judge says so, and why") {
  const Example silent = read_example("silent", "G28\n", false);
  CHECK(skip_mismatches(silent, std::nullopt).empty());
  CHECK(skip_mismatches(silent, "the material is unknown; state it").size() == 1);
  const Example told = read_example("told", "; skips: the material is unknown\nG28\n", false);
  CHECK(skip_mismatches(told, "the material is unknown; state it").empty());
  CHECK(skip_mismatches(told, "E is no length").size() == 1);
  CHECK(skip_mismatches(told, std::nullopt).size() == 1);
}

TEST_CASE("what a mark says that a finding tells is looked for in its words and its figures") {
  Finding finding = warning_at(3);
  finding.what = "The nozzle stands for 16 s.";
  finding.measured = Measured{.value = 16, .limit = 15, .unit = "s"};
  const auto wrong = [&](const std::string& words) {
    return mismatches(read_example("told", "; expect: example\n; tells: " + words + "\n", true), "example", {finding})
        .size();
  };
  CHECK(wrong("stands for 16 s") == 0);
  CHECK(wrong("16 of 15 s, count 1, lines 3 to 3") == 0);
  CHECK(wrong("16 of 14 s") == 1);
}

}  // namespace
}  // namespace beadwise::tests
