#include "beadwise/baseline.hpp"

#include <doctest/doctest.h>

#include <array>
#include <nlohmann/json.hpp>
#include <string>

#include "beadwise/error.hpp"
#include "beadwise/version.hpp"
#include "orchard_findings.hpp"

using namespace beadwise;

namespace {

FileReport tags() {
  return orchard_report("tags.gcode",
                        {orchard_finding("unsupported-bead", "bridge", 30, 40, 46, 25),
                         orchard_finding("low-travel", "outer walls", 50, 50, 1200, 1000, Severity::note)});
}

std::string baseline_of(const FileReport& report) { return baseline_as_json(std::span(&report, 1)); }

std::size_t accepted_in(const FileReport& report) {
  std::size_t count = 0;
  for (const Finding& finding : report.findings) count += finding.accepted ? 1U : 0U;
  return count;
}

FileReport after_accepting(const std::string& baseline, FileReport report) {
  accept_known(read_baseline(baseline, "known.json"), std::span(&report, 1));
  return report;
}

void refused(const std::string& bytes, const std::string& with, std::uint64_t line = 0, std::uint64_t column = 0) {
  CAPTURE(bytes.substr(0, 200));
  try {
    read_baseline(bytes, "known.json");
    FAIL_CHECK("taken");
  } catch (const Error& error) {
    CHECK(error.kind() == ErrorKind::usage);
    CHECK(error.file() == "known.json");
    CHECK(error.line() == line);
    CHECK(error.column() == column);
    CHECK_MESSAGE(error.sentence().find(with) != std::string::npos, error.sentence());
  }
}

}  // namespace

TEST_CASE("a baseline notes check, fingerprint, severity and what, with its version") {
  const FileReport report = tags();
  const nlohmann::json written = nlohmann::json::parse(baseline_of(report));
  CHECK(written["beadwise"] == std::string(version()));
  CHECK(written["baseline_version"] == 1);
  REQUIRE(written["files"].size() == 1);
  CHECK(written["files"][0]["file"] == "tags.gcode");
  REQUIRE(written["files"][0]["findings"].size() == 2);
  const nlohmann::json& first = written["files"][0]["findings"][0];  // by check, not by how bad
  CHECK(first["check"] == "low-travel");
  CHECK(first["severity"] == "note");
  CHECK(first["fingerprint"] == report.findings[1].fingerprint);
  CHECK(first["what"] == report.findings[1].what);
}

TEST_CASE("what a baseline notes is accepted, and it alone") {
  const FileReport before = tags();
  const FileReport again = after_accepting(baseline_of(before), before);
  CHECK(accepted_in(again) == 2);
  CHECK(again.verdict() == "clean");
  CHECK(again.findings[0].accepted->from == "known.json");
  CHECK(again.findings[0].accepted->because.empty());
  CHECK(again.unused_acceptances.empty());

  FileReport more = orchard_report("tags.gcode", {orchard_finding("unsupported-bead", "bridge", 30, 40, 46, 25),
                                                  orchard_finding("thin-stroke", "raised", 30, 40, 0.2, 0.3)});
  more = after_accepting(baseline_of(before), more);
  CHECK(accepted_in(more) == 1);
  CHECK(more.findings[0].check == "thin-stroke");  // accepted ones stand last
  CHECK(more.verdict() == "warning");
  REQUIRE(more.unused_acceptances.size() == 1);
  CHECK(more.unused_acceptances[0].check == "low-travel");
  CHECK_FALSE(more.unused_acceptances[0].in_profile);
}

TEST_CASE("a finding that became worse than noted is not accepted, a milder one is") {
  const auto with = [](Severity severity) {
    return orchard_report("tags.gcode", {orchard_finding("unsupported-bead", "bridge", 30, 40, 46, 25, severity)});
  };
  const std::string noted = baseline_of(with(Severity::warning));
  CHECK(accepted_in(after_accepting(noted, with(Severity::note))) == 1);
  CHECK(accepted_in(after_accepting(noted, with(Severity::warning))) == 1);
  CHECK(accepted_in(after_accepting(noted, with(Severity::error))) == 0);
}

TEST_CASE("a job meets the group of its name, in another folder too; one job alone the only group") {
  FileReport report = tags();
  const std::string noted = baseline_of(report);
  report.file = "elsewhere/tags.gcode";
  CHECK(accepted_in(after_accepting(noted, report)) == 2);
  report.file = "tags-0.3mm.gcode";
  CHECK(accepted_in(after_accepting(noted, report)) == 2);

  std::array<FileReport, 2> two = {tags(), tags()};
  two[0].file = "tags-0.3mm.gcode";
  two[1].file = "clips.gcode";
  accept_known(read_baseline(noted, "known.json"), two);
  CHECK(accepted_in(two[0]) == 0);
  CHECK(accepted_in(two[1]) == 0);

  std::array<FileReport, 2> groups = {tags(), tags()};
  groups[1].file = "clips.gcode";
  CHECK(accepted_in(after_accepting(baseline_as_json(groups), report)) == 0);

  // Two folders have a file of that name: which one is meant?
  std::array<FileReport, 2> same = {tags(), tags()};
  same[0].file = "a/tags.gcode";
  same[1].file = "b/tags.gcode";
  report.file = "c/tags.gcode";
  CHECK(accepted_in(after_accepting(baseline_as_json(same), report)) == 0);
}

TEST_CASE("only a check that ran says that a noted finding is gone") {
  FileReport none = orchard_report("tags.gcode", {});
  CHECK(after_accepting(baseline_of(tags()), none).unused_acceptances.size() == 2);
  none.checks.clear();
  CHECK(after_accepting(baseline_of(tags()), none).unused_acceptances.empty());
}

TEST_CASE("what the profile accepts is not noted; what the old baseline accepts is") {
  FileReport report = tags();
  report.findings[0].accepted = Acceptance{.because = "hidden", .from = "beadwise.toml:3", .in_profile = true};
  report.findings[1].accepted = Acceptance{.because = "", .from = "known.json", .in_profile = false};
  const Baseline baseline = read_baseline(baseline_of(report), "known.json");
  REQUIRE(baseline.files.front().findings.size() == 1);
  CHECK(baseline.files.front().findings.front().check == "low-travel");
}

TEST_CASE("a baseline is the same bytes in whatever order the files came, and read back the same") {
  std::array<FileReport, 2> one = {tags(), tags()};
  one[1].file = "clips.gcode";
  std::array<FileReport, 2> other = {one[1], one[0]};
  CHECK(baseline_as_json(one) == baseline_as_json(other));
  // A file that was named twice is noted once.
  other[1].file = "clips.gcode";
  CHECK(read_baseline(baseline_as_json(other), "known.json").files.size() == 1);
}

TEST_CASE("what is no baseline is refused with its place") {
  refused("", "no JSON", 1, 1);
  refused("G28\nG1 X10\n", "no JSON", 1, 1);
  refused("{\"beadwise\": \"0.1.0\",\n \"baseline_version\": 1,\n \"files\": [}", "no JSON", 3, 12);
  refused("{}", "is no baseline");
  refused("[]", "must be an object");
  refused(R"({"beadwise": "0.1.0", "schema_version": 1, "files": []})", "is a report of check");
  refused(R"({"beadwise": "9.0.0", "baseline_version": 2, "files": []})", "this program reads 1");
  refused(R"({"beadwise": "0.1.0", "baseline_version": "1", "files": []})", "`baseline_version` must be a whole");
  refused(R"({"beadwise": "0.1.0", "baseline_version": 1})", "lacks `files`");
  refused(R"({"beadwise": "0.1.0", "baseline_version": 1, "files": {}})", "`files` must be a list");
  refused(R"({"beadwise": "0.1.0", "baseline_version": 1, "files": [{"file": 3}]})", "`files[0].file` must be a text");
  refused(R"({"beadwise": "0.1.0", "baseline_version": 1, "files": [{"file": "a", "findings": [
      {"check": "low-travel", "fingerprint": "0", "severity": "grave"}]}]})",
          "`files[0].findings[0].severity` must be");
}

TEST_CASE("hostile bytes are refused, not obeyed") {
  refused(std::string(5'000'000, '['), "nested more than");
  refused(std::string(max_baseline_bytes + 1, ' '), "too large");
  refused("{\"beadwise\": 1e999}", "too large");
  refused(R"({"beadwise": "0.1.0", "baseline_version": 1, "files": [{"file": ")" + std::string(20'000, 'x') + "\"}]}",
          "longer than");
  refused(R"({"beadwise": "0.1.0", "baseline_version": -1, "files": []})", "whole number");
}
