#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <string>

#include "beadwise/compare.hpp"
#include "beadwise/error.hpp"
#include "orchard_findings.hpp"

using namespace beadwise;

namespace {

std::string as_json(const FileReport& report) { return check_as_json(std::span(&report, 1)); }

FileReport clips() {
  Finding many = orchard_finding("dense-retraction", "tool 0 near Z 2 mm", 30, 40, 85, 50);
  many.symptoms = {Symptom::clogging, Symptom::runout};
  many.why = "The gear grinds \"it\" away.";
  many.remedy = "Pull back less often.";
  many.objects = {1, 3};
  for (std::uint64_t line = 20; line < 90; ++line)
    many.places.add(
        {.line = line, .layer = static_cast<std::uint32_t>(line / 10), .value = 50.0 - static_cast<double>(line)});
  Finding whole;  // neither measured nor anywhere
  whole.check = "unread-line";
  whole.key = "text";
  FileReport report = orchard_report("clips.gcode", {many, whole});
  report.findings[1].accepted = Acceptance{.because = "a banner", .from = "beadwise.toml:3", .in_profile = true};
  report.job->nozzle_c = {205, 210};
  report.job->filament_mass_g = 3.2;
  return report;
}

void refused(const std::string& bytes, const std::string& with) {
  CAPTURE(bytes.substr(0, 200));
  try {
    reports_from_json(bytes, "old.json");
    FAIL_CHECK("taken");
  } catch (const Error& error) {
    CHECK(error.kind() == ErrorKind::file);
    CHECK(error.file() == "old.json");
    CHECK_MESSAGE(error.sentence().find(with) != std::string::npos, error.sentence());
  }
}

/// The report with one member taken out or set to something else.
std::string changed(const std::string& pointer, const nlohmann::json& value) {
  nlohmann::json json = nlohmann::json::parse(as_json(clips()));
  json[nlohmann::json::json_pointer(pointer)] = value;
  return json.dump();
}

}  // namespace

TEST_CASE("a report that is read back is written as the same bytes") {
  const std::string written = as_json(clips());
  const std::vector<FileReport> read = reports_from_json(written, "old.json");
  REQUIRE(read.size() == 1);
  CHECK(as_json(read.front()) == written);
}

TEST_CASE("a report that is read back compares as the one it was") {
  const FileReport now = clips();
  const std::vector<FileReport> read = reports_from_json(as_json(now), "old.json");
  const Comparison comparison = compare(read.front(), now);
  for (const ComparedFinding& one : comparison.findings) CHECK(one.change == Change::unchanged);
  for (const ComparedFigure& figure : comparison.figures) CHECK(figure.difference().value_or(0) == 0);
}

TEST_CASE("a report of the first programs, without keys and acceptances, is read and compared") {
  nlohmann::json json = nlohmann::json::parse(as_json(clips()));
  for (nlohmann::json& finding : json["files"][0]["findings"]) {
    finding.erase("key");
    finding.erase("accepted");
    finding.erase("objects");
  }
  const Comparison comparison = compare(reports_from_json(json.dump(), "old.json").front(), clips());
  REQUIRE(comparison.findings.size() == 2);
  for (const ComparedFinding& one : comparison.findings) CHECK(one.change == Change::unchanged);
}

TEST_CASE("members that a newer program adds are passed over") {
  CHECK(reports_from_json(changed("/files/0/findings/0/colour", "red"), "old.json").size() == 1);
}

TEST_CASE("a file begins as a report where a brace and a name come first") {
  CHECK(begins_as_report(as_json(clips())));
  CHECK(begins_as_report("\xEF\xBB\xBF \r\n{\n\t\"files\": ["));
  CHECK_FALSE(begins_as_report("{nozzle} G28\n"));
  CHECK_FALSE(begins_as_report("G28\n{\"a\": 1}"));
  CHECK_FALSE(begins_as_report(""));
  CHECK_FALSE(begins_as_report("{"));
}

TEST_CASE("what is no report is refused with its place") {
  refused("G28", "no JSON");
  refused("{}", "is no report");
  refused(changed("/schema_version", 2), "`schema_version` is 2");
  refused(changed("/files", nlohmann::json::array()), "`files` is empty");
  refused(changed("/files/0/findings/0/severity", "bad"), "`files[0].findings[0].severity` must be");
  refused(changed("/files/0/findings/0/count", -1), "`files[0].findings[0].count` must be a whole number");
  refused(changed("/files/0/findings/0/count", 1.5), "`files[0].findings[0].count` must be a whole number");
  refused(changed("/files/0/findings/0/places/2/at_mm", {1, 2}), "`files[0].findings[0].places[2].at_mm`");
  refused(changed("/files/0/findings/0/box_mm/x", {1}), "`files[0].findings[0].box_mm.x` must have two");
  refused(changed("/files/0/findings/0/measured", 3), "`files[0].findings[0].measured` must be an object");
  refused(changed("/files/0/job/layers", nullptr), "`files[0].job.layers` must be a whole number");
}

TEST_CASE("a damaged report is refused, wherever it was cut") {
  const std::string whole = as_json(clips());
  for (std::size_t bytes = 0; bytes + 2 < whole.size(); bytes += 37)
    CHECK_THROWS_AS(reports_from_json(whole.substr(0, bytes), "old.json"), Error);
}

TEST_CASE("hostile reports are refused, not obeyed") {
  refused(std::string(5'000'000, '['), "nested more than");
  refused(std::string(max_report_bytes + 1, ' '), "too large");
  nlohmann::json json = nlohmann::json::parse(as_json(clips()));
  const nlohmann::json finding = json["files"][0]["findings"][0];
  for (int i = 0; i < 2000; ++i) json["files"][0]["findings"].push_back(finding);
  refused(json.dump(), "`files[0].findings` has more than 2000 items");
}
