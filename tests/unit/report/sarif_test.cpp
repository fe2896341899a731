#include <doctest/doctest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "beadwise/version.hpp"
#include "report/sarif_text.hpp"
#include "report/sarif_uri.hpp"
#include "sample_report.hpp"
#include "support/near.hpp"

using namespace beadwise;
using namespace beadwise::tests;
using Json = nlohmann::json;

namespace {

Json run_of(const std::vector<FileReport>& reports) {
  const Json log = Json::parse(check_as_sarif(reports));
  REQUIRE(log["version"] == "2.1.0");
  REQUIRE(log["runs"].size() == 1);
  return log["runs"][0];
}

Json only_result(const FileReport& report) {
  const Json run = run_of({report});
  REQUIRE(run["results"].size() == 1);
  return run["results"][0];
}

Json notifications(const Json& invocation, const std::string& where, const std::string& id) {
  Json found = Json::array();
  for (const Json& one : invocation.value(where, Json::array()))
    if (one["descriptor"]["id"] == id) found.push_back(one);
  return found;
}

}  // namespace

TEST_CASE("a log names the program, its version and each check that was asked for") {
  const Json driver = run_of({sample_report()})["tool"]["driver"];
  CHECK(driver["name"] == "beadwise");
  CHECK(driver["version"] == version());
  REQUIRE(driver["rules"].size() == 3);
  CHECK(driver["rules"][1]["id"] == "dense-retraction");
  CHECK(driver["rules"][1]["name"] == "DenseRetraction");
  CHECK(driver["rules"][1]["defaultConfiguration"]["level"] == "error");
  CHECK(driver["rules"][1]["defaultConfiguration"]["parameters"].size() > 0);
  const std::string help = driver["rules"][1]["help"]["markdown"];
  CHECK(help.find("## Why it fails") != std::string::npos);
  CHECK(help.find("## Sources") != std::string::npos);
  CHECK(help.find("```gcode") == std::string::npos);
  const std::string description = driver["rules"][0]["fullDescription"]["text"];
  CHECK(std::count(description.begin(), description.end(), '\n') == 2);
}

TEST_CASE("a result leads with the worst place; the other places are bounded and numbered") {
  const Json result = only_result(sample_report());
  CHECK(result["ruleId"] == "dense-retraction");
  CHECK(result["ruleIndex"] == 1);
  CHECK(result["level"] == "error");
  CHECK(result["kind"] == "fail");
  REQUIRE(result["locations"].size() == 1);
  CHECK(result["locations"][0]["physicalLocation"]["region"]["startLine"] == 1203);
  CHECK(result["locations"][0]["logicalLocations"][0]["fullyQualifiedName"] == "layer/12");
  CHECK(result["relatedLocations"].size() == max_places - 1);
  CHECK(result["relatedLocations"][0]["id"] == 1);
  CHECK(result["relatedLocations"][0]["message"]["text"] == "Also here: layer 12, X 12.1 Y 5.5 Z 2.4, 130 passes.");
  CHECK(result["partialFingerprints"]["beadwiseFinding/v1"] == sample_report().findings[0].fingerprint);
  CHECK(result["properties"]["count"] == 48);
  CHECK(result["properties"]["measured"]["limit"] == 100);
  CHECK(result["properties"]["symptoms"] == Json({"clogging", "under-extrusion"}));
}

TEST_CASE("what, why, what to do and what to mind are the message") {
  const Json message = only_result(sample_report())["message"];
  const std::string text = message["text"];
  CHECK(
      text.starts_with("One stretch of filament passes the drive gear 131 times on layers 12 to 14. The gear grinds"));
  // Clogs are looked after with the hands, on hot parts.
  CHECK(text.find("let them cool") != std::string::npos);
  const std::string markdown = message["markdown"];
  CHECK(markdown.find("**Do:** Join the travels") != std::string::npos);
}

TEST_CASE("a region has columns and offsets where the line was looked up") {
  FileReport report = sample_report();
  report.line_spots = {{1203, 5000, 14, 4990, 12, "G1 X1 ; \xC3\xA4\xFF pf"}};
  report.line_spots[0].bytes = report.line_spots[0].text.size();
  report.line_spots[0].chars = report.line_spots[0].bytes - 1;
  const Json region = only_result(report)["locations"][0]["physicalLocation"]["region"];
  CHECK(region["startColumn"] == 1);
  CHECK(region["endLine"] == 1203);
  CHECK(region["endColumn"] == region["charLength"].get<int>() + 1);
  CHECK(region["byteOffset"] == 5000);
  CHECK(region["byteLength"] == 14);
  CHECK(region["charOffset"] == 4990);
  CHECK(region["charLength"] == 13);
  CHECK(region["snippet"]["text"] == "G1 X1 ; \xC3\xA4\xEF\xBF\xBD pf");
  // Of a line that was cut no part is passed off as the whole.
  report.line_spots[0].bytes = 5000;
  CHECK(!only_result(report)["locations"][0]["physicalLocation"]["region"].contains("snippet"));
}

TEST_CASE("the rank is a third for each severity, and within it how far the limit is passed") {
  FileReport report = sample_report();
  // Two thirds and (1 - 100/131) of a third: 66.67 + 7.89.
  CHECK(near(only_result(report)["rank"], 74.6, 0.05));
  report.findings[0].severity = Severity::note;
  CHECK(near(only_result(report)["rank"], 7.9, 0.05));
  report.findings[0].measured = Measured{50, 100, "mm", Origin::built_in};
  CHECK(near(only_result(report)["rank"], 100.0 / 6, 0.05));
}

TEST_CASE("an accepted finding is suppressed with its reason; each result says whether it is") {
  FileReport report = sample_report();
  report.findings.push_back(report.findings[0]);
  report.findings[1].accepted = Acceptance{"read at arm's length", "beadwise.toml:12", true};
  const Json results = run_of({report})["results"];
  CHECK(results[0]["suppressions"] == Json::array());
  REQUIRE(results[1]["suppressions"].size() == 1);
  CHECK(results[1]["suppressions"][0]["kind"] == "external");
  CHECK(results[1]["suppressions"][0]["status"] == "accepted");
  CHECK(results[1]["suppressions"][0]["justification"] == "read at arm's length");
}

TEST_CASE("skipped checks, hidden things and acceptances that met nothing are said of the reading") {
  FileReport report = sample_report();
  report.unseen = {"`START` on line 3 is a macro of the machine."};
  report.unused_acceptances = {{"open-fill", "row label", "beadwise.toml:7", true}};
  const Json invocation = run_of({report})["invocations"][0];
  CHECK(invocation["executionSuccessful"] == true);
  const Json skipped = notifications(invocation, "toolExecutionNotifications", "check-skipped");
  REQUIRE(skipped.size() == 1);
  CHECK(skipped[0]["associatedRule"]["id"] == "short-spool");
  CHECK(skipped[0]["message"]["text"] == "short-spool was skipped: nobody stated how much filament is left.");
  CHECK(notifications(invocation, "toolExecutionNotifications", "hidden-in-file").size() == 1);
  CHECK(notifications(invocation, "toolConfigurationNotifications", "acceptance-unused").size() == 1);
}

TEST_CASE("one reason for many files is one notification") {
  std::vector<FileReport> reports(50, sample_report());
  for (std::size_t i = 0; i < reports.size(); ++i) reports[i].file = "label-" + std::to_string(i) + ".gcode";
  const Json run = run_of(reports);
  REQUIRE(run["invocations"].size() == 1);
  const Json skipped = notifications(run["invocations"][0], "toolExecutionNotifications", "check-skipped");
  REQUIRE(skipped.size() == 1);
  CHECK(skipped[0]["locations"].size() == 50);
  CHECK(!run["results"][0].contains("provenance"));
}

TEST_CASE("files that were judged by other limits are another invocation") {
  std::vector<FileReport> reports(3, sample_report());
  reports[1].stated_checks["dense-retraction"].limits["warning_passes"] = {30, Origin::profile,
                                                                           "stated in farm.toml:4"};
  reports[2].stated_checks["dense-retraction"].off = true;
  const Json run = run_of(reports);
  REQUIRE(run["invocations"].size() == 3);
  CHECK(run["results"][1]["provenance"]["invocationIndex"] == 1);
  CHECK(!run["invocations"][0].contains("ruleConfigurationOverrides"));
  const Json stated = run["invocations"][1]["ruleConfigurationOverrides"][0];
  CHECK(stated["descriptor"]["id"] == "dense-retraction");
  CHECK(stated["configuration"]["parameters"]["warning_passes"] == 30);
  CHECK(stated["configuration"]["enabled"] == true);
  CHECK(stated["properties"]["stated_at"] == Json({{"warning_passes", "stated in farm.toml:4"}}));
  CHECK(run["invocations"][2]["ruleConfigurationOverrides"][0]["configuration"]["enabled"] == false);
}

TEST_CASE("a file that cannot be read fails the invocation and is an artifact without a hash") {
  FileReport failed;
  failed.file = "gone.gcode";
  failed.failure = "cannot be opened";
  const Json run = run_of({failed, sample_report()});
  CHECK(run["invocations"][0]["executionSuccessful"] == false);
  const Json told = notifications(run["invocations"][0], "toolExecutionNotifications", "file-unreadable");
  REQUIRE(told.size() == 1);
  CHECK(told[0]["level"] == "error");
  CHECK(!run["artifacts"][0].contains("hashes"));
  CHECK(run["artifacts"][1]["hashes"]["sha-256"] == std::string(64, 'a'));
}

TEST_CASE("names as references (RFC 3986)") {
  CHECK(sarif_uri("row-labels.gcode") == "row-labels.gcode");
  CHECK(sarif_uri("./a//b/./c.gcode") == "a/b/c.gcode");
  CHECK(sarif_uri("../row label.gcode") == "../row%20label.gcode");
  CHECK(sarif_uri("/srv/jobs/100%.gcode") == "file:///srv/jobs/100%25.gcode");
  CHECK(sarif_uri("a:b#c?d.gcode") == "a%3Ab%23c%3Fd.gcode");
  CHECK(sarif_uri("\xC3\xA4\xFF.gcode") == "%C3%A4%FF.gcode");
  CHECK(sarif_uri("standard input") == "stdin");
}

TEST_CASE("nothing in a message is a placeholder, a link or obeyed by a screen (SARIF 2.1.0, section 3.11)") {
  CHECK(sarif_text("X{row}") == "X{{row}}");
  CHECK(sarif_text("[here](http://example.invalid)") == "[here] (http://example.invalid)");
  CHECK(sarif_text("a\x1b[31m") == "a\xEF\xBF\xBD[31m");
  CHECK(sarif_text("one\ntwo") == "one\ntwo");
}
