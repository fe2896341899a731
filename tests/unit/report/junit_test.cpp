#include <doctest/doctest.h>

#include "sample_report.hpp"

using namespace beadwise;

namespace {

std::string junit_of(const FileReport& report, std::optional<Severity> gate) {
  return check_as_junit(std::vector<FileReport>{report}, gate);
}

bool says(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("a test case for each check; the one with a finding at the gate fails") {
  const std::string text = junit_of(sample_report(), Severity::error);
  CHECK(says(text, R"(<testsuite name="row-labels.gcode" tests="3" failures="1" errors="0" skipped="1" time="0">)"));
  CHECK(says(text, R"(<testcase classname="row-labels.gcode" name="broken-arc" time="0"/>)"));
  CHECK(says(text, R"(<failure message="One stretch of filament passes the drive gear 131 times on layers 12 to 14.")"
                   R"( type="error">)"));
  CHECK(says(text, "Do: Join the travels of these layers, or pull back less often."));
  CHECK(says(text, "Limit: 100 passes (built-in); here 131"));
  CHECK(says(text, R"(<skipped message="nobody stated how much filament is left"/>)"));
  CHECK(!says(text, "<system-out>"));
}

TEST_CASE("below the gate, without one, and accepted, a finding is told and does not fail") {
  FileReport warned = sample_report();
  warned.findings[0].severity = Severity::warning;
  FileReport accepted = sample_report();
  accepted.findings[0].accepted = Acceptance{"seldom printed", "beadwise.toml:3", true};
  for (const std::string& text : {junit_of(warned, Severity::error), junit_of(sample_report(), std::nullopt),
                                  junit_of(accepted, Severity::note)}) {
    CHECK(says(text, R"(failures="0")"));
    CHECK(!says(text, "<failure"));
    CHECK(says(text, "<system-out>"));
  }
  CHECK(says(junit_of(accepted, Severity::note), "Known: seldom printed (beadwise.toml:3)"));
  CHECK(says(junit_of(warned, Severity::warning), R"(type="warning">)"));
}

TEST_CASE("several findings of a check are one failure, in full up to a bound") {
  FileReport report = sample_report();
  report.findings.resize(30, report.findings[0]);
  const std::string text = junit_of(report, Severity::error);
  CHECK(says(text, R"(failures="1")"));
  CHECK(says(text, "(and 29 more)"));
  CHECK(says(text, "And 10 more."));
}

TEST_CASE("a file that cannot be read is an error") {
  FileReport report;
  report.file = "gone.gcode";
  report.failure = "cannot be opened: look for it";
  const std::string text = junit_of(report, Severity::error);
  CHECK(says(text, R"(tests="1" failures="0" errors="1" skipped="0")"));
  CHECK(says(text, R"(<error message="cannot be opened: look for it" type="unreadable"/>)"));
}

TEST_CASE("letters that XML 1.0 forbids, or that mean something in it, do not stand in it") {
  FileReport report = sample_report();
  report.file = "a<b>&\".gcode";
  report.findings[0].what = "\x01]]> \xEF\xBF\xBE \xEF\xBF\xBF \xE4 \xED\xA0\x80 end";
  const std::string text = junit_of(report, Severity::error);
  CHECK(says(text, R"(name="a&lt;b&gt;&amp;&quot;.gcode")"));
  const std::string replaced = "\xEF\xBF\xBD";
  CHECK(says(text, replaced + "]]&gt; " + replaced + ' ' + replaced + ' ' + replaced + ' ' + replaced + replaced +
                       replaced + " end"));
}

TEST_CASE("nothing to check is an empty list") {
  CHECK(check_as_junit({}, Severity::error) ==
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<testsuites>\n</testsuites>\n");
}
