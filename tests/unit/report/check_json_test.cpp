#include <doctest/doctest.h>

#include <limits>
#include <nlohmann/json.hpp>

#include "sample_report.hpp"

using namespace beadwise;
using Json = nlohmann::ordered_json;

namespace {

std::vector<std::string> keys(const Json& object) {
  std::vector<std::string> names;
  for (const auto& [key, value] : object.items()) names.push_back(key);
  return names;
}

Json only_file(const FileReport& report) {
  const std::string text = check_as_json(std::span(&report, 1));
  CHECK(text.back() == '\n');
  return Json::parse(text)["files"].at(0);
}

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("the members of the JSON report stand in the order that is promised") {
  const FileReport report = sample_report();
  const Json whole = Json::parse(check_as_json(std::span(&report, 1)));
  CHECK(keys(whole) == Names{"beadwise", "schema_version", "files"});
  CHECK(whole["schema_version"] == 1);
  const Json file = whole["files"][0];
  CHECK(keys(file) == Names{"file", "sha256", "verdict", "failure", "assumptions", "job", "checks", "findings",
                            "unseen", "unknown_commands", "unused_acceptances"});
  CHECK(keys(file["assumptions"][0]) == Names{"key", "value", "from", "because"});
  CHECK(keys(file["checks"][0]) == Names{"check", "state", "because", "findings"});
  CHECK(keys(file["findings"][0]) == Names{"check", "severity", "symptoms", "what", "why", "remedy", "measured",
                                           "count", "lines", "layers", "box_mm", "places", "objects", "fingerprint",
                                           "key", "accepted"});
  CHECK(keys(file["findings"][0]["measured"]) == Names{"value", "limit", "unit", "limit_from"});
  CHECK(keys(file["findings"][0]["places"][0]) == Names{"line", "layer", "at_mm", "value"});
  CHECK(keys(file["job"]) ==
        Names{"bytes",       "lines",           "moves",           "extruding_moves",     "travel_moves",
              "retractions", "filament_fed_mm", "deposited_mm3",   "extruding_path_mm",   "travel_path_mm",
              "layers",      "bounds_mm",       "duration_s",      "peak_flow_mm3_per_s", "max_gear_passes",
              "nozzle_c",    "bed_c",           "filament_mass_g", "head_path_mm",        "head_reversals"});
}

TEST_CASE("a finding tells its count, spans and the twenty worst places") {
  const Json file = only_file(sample_report());
  CHECK(file["verdict"] == "error");
  CHECK(file["failure"].is_null());
  const Json finding = file["findings"][0];
  CHECK(finding["symptoms"] == Json({"clogging", "under-extrusion"}));
  CHECK(finding["count"] == 48);
  CHECK(finding["lines"]["first"] == 1203);
  CHECK(finding["lines"]["last"] == 1250);
  CHECK(finding["layers"]["first"] == 12);
  CHECK(finding["layers"]["last"] == 14);
  CHECK(finding["box_mm"]["x"] == Json({12.1, 12.1}));
  CHECK(finding["places"].size() == 20);
  CHECK(finding["places"][0]["at_mm"] == Json({12.1, 5.5, 2.4}));
  CHECK(finding["places"][19]["value"] == 112);
  CHECK(finding["measured"]["limit_from"] == "built-in");
}

TEST_CASE("what is not known is null, not left out") {
  FileReport report;
  report.file = "gone.gcode";
  report.failure = "There is no such file.";
  const Json file = only_file(report);
  CHECK(file["verdict"] == "unreadable");
  CHECK(file["failure"] == "There is no such file.");
  CHECK(file["sha256"].is_null());
  CHECK(file["job"].is_null());
  CHECK(file["findings"].empty());
}

TEST_CASE("a finding about the whole job has no lines, layers, box or measure") {
  FileReport report = clean_report();
  Finding finding;
  finding.check = "short-spool";
  finding.severity = Severity::warning;
  report.findings.push_back(finding);
  report.job->nozzle_c.reset();
  report.job->bounds_x_mm.reset();
  const Json file = only_file(report);
  CHECK(file["verdict"] == "warning");
  for (const char* member : {"measured", "lines", "layers", "box_mm"}) CHECK(file["findings"][0][member].is_null());
  CHECK(file["findings"][0]["count"] == 1);
  CHECK(file["findings"][0]["places"].empty());
  CHECK(file["job"]["nozzle_c"].is_null());
  CHECK(file["job"]["bounds_mm"].is_null());
}

TEST_CASE("assumptions carry numbers, texts, truths and ranges") {
  const Json assumptions = only_file(sample_report())["assumptions"];
  CHECK(assumptions[0]["value"] == 0.4);
  CHECK(assumptions[0]["from"] == "file");
  CHECK(assumptions[1]["value"] == true);
  CHECK(assumptions[2]["value"] == "pla");
  CHECK(assumptions[3]["value"] == Json({180.0, 235.0}));
}

TEST_CASE("no number of a report is NaN or infinite") {
  FileReport report = sample_report();
  report.job->duration_s = std::numeric_limits<double>::infinity();
  report.job->peak_flow_mm3_per_s = std::numeric_limits<double>::quiet_NaN();
  report.findings[0].measured->value = std::numeric_limits<double>::quiet_NaN();
  const Json file = only_file(report);
  CHECK(file["job"]["duration_s"].is_null());
  CHECK(file["job"]["peak_flow_mm3_per_s"].is_null());
  CHECK(file["findings"][0]["measured"]["value"].is_null());
}

TEST_CASE("numbers lose the noise of summing and nothing else") {
  FileReport report = sample_report();
  report.job->filament_fed_mm = 0.1 + 0.2;
  report.job->deposited_mm3 = 123456789.123456789;
  report.job->extruding_path_mm = 1e-17;
  report.job->travel_path_mm = 1.0 / 3000;
  report.job->head_path_mm = 1e300;
  const std::string text = check_as_json(std::span(&report, 1));
  CHECK(text.find("\"filament_fed_mm\": 0.3,") != std::string::npos);
  CHECK(text.find("\"deposited_mm3\": 123456789.123457,") != std::string::npos);
  CHECK(text.find("\"extruding_path_mm\": 0.0,") != std::string::npos);
  // Nine digits stay: 0.000333333333
  CHECK(text.find("\"travel_path_mm\": 0.000333333333,") != std::string::npos);
  CHECK(text.find("\"head_path_mm\": 1e+300,") != std::string::npos);
}

TEST_CASE("bytes that are no UTF-8 do not break the JSON") {
  FileReport report = sample_report();
  report.file = "obst\xFCg\xE4rten.gcode";
  report.findings[0].what = std::string("a \xC3 b \0 \"quote\" \\ \x1b[31m", 24);
  const Json file = only_file(report);
  CHECK(file["file"] == "obst\xEF\xBF\xBDg\xEF\xBF\xBDrten.gcode");
  CHECK(file["findings"][0]["what"].get<std::string>().find("\"quote\"") != std::string::npos);
}

TEST_CASE("several files stay in order") {
  std::vector<FileReport> reports(3, clean_report());
  reports[0].file = "c.gcode";
  reports[1].file = "a.gcode";
  reports[2].file = "b.gcode";
  const Json files = Json::parse(check_as_json(reports))["files"];
  REQUIRE(files.size() == 3);
  CHECK(files[0]["file"] == "c.gcode");
  CHECK(files[1]["file"] == "a.gcode");
  CHECK(files[2]["verdict"] == "clean");
  CHECK(Json::parse(check_as_json({}))["files"].empty());
}

TEST_CASE("commands passed over and what was not seen are told") {
  FileReport report = sample_report();
  report.unknown = {{"M862.3", 2}};
  report.unseen = {"START may have heated the nozzle."};
  const Json file = only_file(report);
  CHECK(file["unknown_commands"][0]["name"] == "M862.3");
  CHECK(file["unknown_commands"][0]["count"] == 2);
  CHECK(file["unseen"][0] == "START may have heated the nozzle.");
}

TEST_CASE("a finding names the objects that its places lie on") {
  FileReport report = sample_report();
  CHECK(only_file(report)["findings"][0]["objects"] == Json::array());
  report.findings[0].objects = {2, 3};
  CHECK(only_file(report)["findings"][0]["objects"] == Json({2, 3}));
}
