#include "diagnose/bearings.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "beadwise/check.hpp"
#include "diagnose/file_figures.hpp"
#include "unit/diagnose/known_findings.hpp"

namespace beadwise::tests {
namespace {

std::set<std::pair<std::string, Symptom>> told_by_checks() {
  std::set<std::pair<std::string, Symptom>> told;
  for (const RegisteredCheck& check : all_checks())
    for (const Symptom symptom : check.describe().symptoms) told.emplace(check.name, symptom);
  return told;
}

TEST_CASE("every symptom of every check has its row, and no row is left over") {
  std::set<std::pair<std::string, Symptom>> rows;
  for (const Bearing& bearing : bearings()) {
    INFO(bearing.check, " ", to_string(bearing.symptom));
    CHECK(rows.emplace(bearing.check, bearing.symptom).second);
    CHECK(!bearing.ruled_out.empty());
  }
  CHECK(rows == told_by_checks());
}

TEST_CASE("rows stand in order of check, so that a check is judged once") {
  const auto all = bearings();
  CHECK(std::is_sorted(all.begin(), all.end(), [](const Bearing& a, const Bearing& b) { return a.check < b.check; }));
}

TEST_CASE("every symptom has a check of which it is a main symptom") {
  for (const Symptom symptom : all_symptoms) {
    const auto all = bearings();
    INFO(to_string(symptom));
    CHECK(std::any_of(all.begin(), all.end(),
                      [&](const Bearing& bearing) { return bearing.main && bearing.symptom == symptom; }));
  }
}

TEST_CASE("every sentence finds its figures: in a full report, and in one without temperatures and material") {
  FileReport full = report_of_plate("row_label.gcode");
  FileReport bare = full;
  bare.assumptions.clear();
  bare.job->nozzle_c.reset();
  bare.job->bed_c.reset();
  for (const FileReport* report : {&full, &bare}) {
    const Profile stated;
    const FileFigures figures(*report, stated);
    for (const Bearing& bearing : bearings()) {
      const std::string sentence = figures.filled(bearing.check, bearing.ruled_out);
      INFO(sentence);
      CHECK(sentence.find_first_of("{}[]|") == std::string::npos);
      CHECK(sentence.find("  ") == std::string::npos);
      CHECK(!sentence.ends_with('.'));
    }
  }
}

TEST_CASE("a limit that somebody stated is the one that is told") {
  FileReport report = report_of_plate("row_label.gcode");
  const Profile stated;
  CHECK(FileFigures(report, stated).filled("dense-retraction", "{note_passes}") == "30 passes");
  report.stated_checks["dense-retraction"].limits["note_passes"].value = 12;
  CHECK(FileFigures(report, stated).filled("dense-retraction", "{note_passes}") == "12 passes");
}

TEST_CASE("what answers rest on are keys of the profile") {
  std::set<std::string> keys;
  for (const ProfileValue& value : describe(Profile{})) keys.insert(value.key);
  for (const RegisteredCheck& check : all_checks()) {
    for (const std::string_view key : rests_on(check.name)) {
      INFO(check.name, " ", key);
      CHECK(keys.count(std::string(key)) == 1);
    }
  }
  CHECK(!rests_on("excess-flow").empty());
}

}  // namespace
}  // namespace beadwise::tests
