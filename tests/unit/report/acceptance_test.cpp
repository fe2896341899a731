#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <string>

#include "sample_report.hpp"

using namespace beadwise;

namespace {

bool has(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

/// The sample with its error accepted, and acceptances that met nothing.
FileReport accepted_report() {
  FileReport report = sample_report();
  report.findings.front().accepted =
      Acceptance{.because = "a worn <gear>, changed after it", .from = "orchard.toml:9", .in_profile = true};
  report.unused_acceptances = {{"broken-arc", "row label", "orchard.toml:14", true},
                               {"broken-arc", "00000000000000aa", "known.json", false},
                               {"broken-arc", "00000000000000ab", "known.json", false}};
  return report;
}

}  // namespace

TEST_CASE("an accepted finding does not count for the verdict, which says how many there are") {
  const FileReport report = accepted_report();
  CHECK(report.verdict() == "clean");
  const std::string text = check_as_text(std::span(&report, 1), {});
  CHECK(has(text, "Nothing but what is known was found by the 2 checks that ran; 1 accepted.\n"));
  FileReport two = report;
  two.findings.push_back(sample_report().findings.front());
  CHECK(has(check_as_text(std::span(&two, 1), {}), "Do not print this as it is: 1 error; 1 accepted.\n"));
}

TEST_CASE("text marks an accepted finding with its reason and leaves out what to do") {
  const FileReport report = accepted_report();
  const std::string text = check_as_text(std::span(&report, 1), {});
  CHECK(has(text, "1. accepted ERROR dense-retraction: clogging, under-extrusion\n"));
  CHECK(has(text, "   Known  a worn <gear>, changed after it (orchard.toml:9)\n"));
  CHECK_FALSE(has(text, "Join the travels"));
  CHECK_FALSE(has(check_as_text(std::span(&report, 1), {.quiet = true}), "dense-retraction"));
}

TEST_CASE("text tells each acceptance of a profile that met nothing, and counts those of a baseline") {
  const FileReport report = accepted_report();
  const std::string text = check_as_text(std::span(&report, 1), {.width = 100});
  CHECK(has(text, "orchard.toml:14: what is accepted of broken-arc, \"row label\", is not found here.\n"));
  CHECK(has(text, "2 findings noted in known.json are gone: write it anew.\n"));
}

TEST_CASE("JSON has who accepted and why, and what met nothing") {
  FileReport report = accepted_report();
  nlohmann::json file = nlohmann::json::parse(check_as_json(std::span(&report, 1)))["files"][0];
  CHECK(file["findings"][0]["accepted"]["because"] == "a worn <gear>, changed after it");
  CHECK(file["findings"][0]["accepted"]["from"] == "orchard.toml:9");
  CHECK(file["findings"][0]["key"] == "stretch");
  REQUIRE(file["unused_acceptances"].size() == 3);
  CHECK(file["unused_acceptances"][0]["where"] == "row label");
  report.findings.front().accepted->because.clear();
  file = nlohmann::json::parse(check_as_json(std::span(&report, 1)))["files"][0];
  CHECK(file["findings"][0]["accepted"]["because"].is_null());
}

TEST_CASE("the page says accepted in words, and escapes the reason") {
  const FileReport report = accepted_report();
  const std::string page = check_as_html(std::span(&report, 1), {});
  CHECK(has(page, "<b>Accepted</b>: a worn &lt;gear&gt;, changed after it (orchard.toml:9)"));
  CHECK(has(page, ", accepted"));
  CHECK(has(page, "2 findings noted in known.json are gone"));
  CHECK_FALSE(has(page, "<gear>"));
}
