#include "beadwise/diagnose.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <set>

#include "beadwise/check.hpp"
#include "beadwise/error.hpp"
#include "diagnose/bearings.hpp"
#include "diagnose/by_hand.hpp"
#include "support/near.hpp"
#include "support/print.hpp"
#include "unit/diagnose/known_findings.hpp"

namespace beadwise::tests {
namespace {

bool has(const std::vector<std::string>& list, std::string_view part) {
  return std::any_of(list.begin(), list.end(),
                     [&](const std::string& one) { return one.find(part) != std::string::npos; });
}

template <class List>
const auto* of_check(const List& list, std::string_view check) {
  const auto found = std::find_if(list.begin(), list.end(), [&](const auto& one) { return one.check == check; });
  return found == list.end() ? nullptr : &*found;
}

Place at(std::uint32_t layer, double x_mm, double y_mm, double z_mm, double value = 1) {
  Place place;
  place.line = 100 * layer;
  place.layer = layer;
  place.x_mm = x_mm;
  place.y_mm = y_mm;
  place.z_mm = z_mm;
  place.has_position = true;
  place.value = value;
  return place;
}

Finding finding_of(std::string check, Severity severity, Symptom symptom, std::vector<Place> places) {
  Finding finding;
  finding.check = std::move(check);
  finding.severity = severity;
  finding.symptoms = {symptom};
  finding.what = "Found.";
  for (const Place& place : places) finding.places.add(place);
  return finding;
}

FileReport report_with(std::vector<Finding> findings) {
  FileReport report;
  report.file = "crate-tag.gcode";
  report.job.emplace();
  report.job->layers = 50;
  report.job->bounds_x_mm = {0, 100};
  report.job->bounds_y_mm = {0, 100};
  report.job->bounds_z_mm = {0.2, 10};
  for (const RegisteredCheck& check : all_checks())
    report.checks.push_back({std::string(check.name), true, std::nullopt, 0});
  report.findings = std::move(findings);
  return report;
}

TEST_CASE("on every example plate that fails one way, its check ranks first for each symptom that it lists") {
  std::size_t ranked = 0;
  for (const FailingPlate& plate : failing_plates()) {
    const FileReport report = report_of_plate(plate.file);
    for (const Finding& finding : report.findings) {
      if (finding.check != plate.check) continue;
      for (const Symptom symptom : finding.symptoms) {
        const Diagnosis answer = diagnose(report, seeing({symptom}));
        INFO(plate.file, " ", to_string(symptom));
        REQUIRE(!answer.causes.empty());
        CHECK(answer.causes.front().check == plate.check);
        ++ranked;
      }
    }
  }
  CHECK(ranked >= 20);
}

// Read et al. 2024, doi 10.1007/s40192-024-00350-w, table 3: at 25 mm³/s the drive slips below 225 °C (ABS), at 5 mm³/s
// below 155 °C.
TEST_CASE("a print beyond the measured limit of a hot end is told to be so; one far within it is ruled out") {
  // A bead of 0.8 mm by 0.4 mm is 0.2857 mm² wide (rounded ends): 25 mm³/s are 87.5 mm/s, 5 mm³/s 17.5 mm/s.
  const auto answer = [](double speed_mm_per_s, double nozzle_c) {
    PrintStyle style;
    style.width_mm = 0.8;
    style.bead_speed_mm_per_s = speed_mm_per_s;
    style.nozzle_c = nozzle_c;
    style.bed_c = 100;
    Print job = print(style);
    for (int layer = 0; layer < 3; ++layer) job.layer(0.4).fill(150, 30, {20, 20}, 0.8);
    AnalyseOptions options;
    options.sets = {"filament.material=abs", "machine.nozzle_diameter_mm=0.8",
                    "machine.max_acceleration_mm_per_s2=20000", "machine.corner_speed_mm_per_s=50"};
    return diagnose(analyse(Source::memory("abs.gcode", job.finish().gcode()), options),
                    seeing({Symptom::under_extrusion}));
  };
  const Diagnosis beyond = answer(87.5, 215);
  REQUIRE(!beyond.causes.empty());
  CHECK(beyond.causes.front().check == "excess-flow");
  const Diagnosis within = answer(17.5, 240);
  CHECK(of_check(within.causes, "excess-flow") == nullptr);
  const RuledOut* const ruled_out = of_check(within.ruled_out, "excess-flow");
  REQUIRE(ruled_out != nullptr);
  CHECK(ruled_out->because.find("The flow peaks at 5 mm³/s") == 0);
}

TEST_CASE(
    "every check that bears on a symptom is a cause, found elsewhere, ruled out or not judged: none is left out") {
  for (const char* file :
       {"row_label.gcode", "irrigation_clips_not_pulled_back.gcode", "grafting_jig_drill_holes.gcode"}) {
    const FileReport report = report_of_plate(file);
    for (const Bearing& bearing : bearings()) {
      const Diagnosis answer = diagnose(report, seeing({bearing.symptom}));
      INFO(file, " ", bearing.check, " ", to_string(bearing.symptom));
      CHECK((of_check(answer.causes, bearing.check) != nullptr ||
             of_check(answer.ruled_out, bearing.check) != nullptr ||
             of_check(answer.not_judged, bearing.check) != nullptr));
    }
  }
}

TEST_CASE("a plain print: nothing found is said plainly, and what to look at by hand") {
  const Diagnosis answer = diagnose(report_of_plate("row_label.gcode"), seeing({Symptom::stringing}));
  CHECK(answer.causes.empty());
  CHECK(answer.ruled_out.size() >= 5);
  CHECK(diagnosis_as_text(answer, {}).find("Nothing in this file explains stringing") != std::string::npos);
  CHECK(answer.by_hand.front().what == "Moist filament");
}

TEST_CASE("a check that could not judge is told with what would let it") {
  const Diagnosis answer = diagnose(report_of_plate("row_label.gcode"), seeing({Symptom::runout}));
  const NotJudged* const spool = of_check(answer.not_judged, "short-spool");
  REQUIRE(spool != nullptr);
  CHECK(spool->because.find("--set filament.spool_length_mm") != std::string::npos);
}

TEST_CASE("a file that is no print rules nothing out") {
  const Diagnosis answer = diagnose(report_of_plate("grafting_jig_drill_holes.gcode"), seeing({Symptom::clogging}));
  CHECK(answer.ruled_out.empty());
  CHECK(answer.causes.empty());
  REQUIRE(answer.faults.size() == 1);
  CHECK(answer.faults.front().check == "not-a-print");
}

TEST_CASE("an error outweighs a warning, a warning a note; more over the limit weighs more") {
  Finding note = finding_of("short-layer-time", Severity::note, Symptom::sagging, {at(5, 10, 10, 1)});
  Finding warning = finding_of("unsupported-bead", Severity::warning, Symptom::sagging, {at(5, 10, 10, 1)});
  Diagnosis answer = diagnose(report_with({note, warning}), seeing({Symptom::sagging}));
  REQUIRE(answer.causes.size() == 2);
  CHECK(answer.causes.front().check == "unsupported-bead");
  CHECK(near(answer.causes.front().share, 0.75, 1e-9));  // 3 against 1
  note.severity = Severity::warning;
  note.measured =
      Measured{1, 4, "s", Origin::built_in};  // a quarter of what is wanted is as bad as four times too much
  answer = diagnose(report_with({note, warning}), seeing({Symptom::sagging}));
  CHECK(answer.causes.front().check == "short-layer-time");
  CHECK(near(answer.causes.front().evidence.front().score, 3 * 1.5, 1e-9));  // 1 + log 4 / log 16
}

TEST_CASE("many notes of one check make no error, and no more than four are told") {
  std::vector<Finding> findings(30,
                                finding_of("unsupported-bead", Severity::note, Symptom::sagging, {at(5, 10, 10, 1)}));
  findings.push_back(finding_of("short-layer-time", Severity::warning, Symptom::sagging, {at(5, 10, 10, 1)}));
  const Diagnosis answer = diagnose(report_with(findings), seeing({Symptom::sagging}));
  CHECK(answer.causes.front().check == "short-layer-time");
  CHECK(answer.causes.back().findings == 30);
  CHECK(answer.causes.back().evidence.size() == max_evidence);
}

TEST_CASE("what lies where it was seen counts more, and what does not touch it is no cause there") {
  const Finding low = finding_of("open-travel", Severity::warning, Symptom::stringing, {at(5, 20, 20, 1)});
  const Finding high = finding_of("hot-dwell", Severity::warning, Symptom::stringing, {at(40, 80, 80, 8)});
  Seen seen = seeing({Symptom::stringing});
  seen.layers = Range{39, 41};
  Diagnosis answer = diagnose(report_with({low, high}), seen);
  REQUIRE(answer.causes.size() == 1);
  CHECK(answer.causes.front().check == "hot-dwell");
  REQUIRE(answer.elsewhere.size() == 1);
  CHECK(answer.elsewhere.front().check == "open-travel");
  CHECK(of_check(answer.ruled_out, "open-travel") == nullptr);

  seen = seeing({Symptom::stringing});
  seen.height_mm = Range{1.3, 1.3};  // a ruler is off by half a millimetre
  CHECK(diagnose(report_with({low, high}), seen).causes.front().check == "open-travel");

  seen = seeing({Symptom::stringing});
  seen.at_mm = {74, 82};
  answer = diagnose(report_with({low, high}), seen);
  REQUIRE(answer.causes.size() == 1);
  CHECK(answer.causes.front().check == "hot-dwell");
}

TEST_CASE("half of the places there weigh less than all of them") {
  const Finding half =
      finding_of("open-travel", Severity::warning, Symptom::stringing, {at(5, 20, 20, 1), at(30, 20, 20, 6)});
  Seen seen = seeing({Symptom::stringing});
  seen.layers = Range{5, 5};
  const Diagnosis answer = diagnose(report_with({half}), seen);
  CHECK(near(answer.causes.front().evidence.front().places_share, 0.5, 1e-9));
  CHECK(near(answer.causes.front().evidence.front().score, 3 * (0.25 + 0.75 * 0.5), 1e-9));
}

TEST_CASE("of more places than are kept, the span tells that some may lie there") {
  Finding many = finding_of("open-travel", Severity::warning, Symptom::stringing, {});
  for (std::uint32_t layer = 1; layer <= 50; ++layer) many.places.add(at(layer, 20, 20, 0.2 * layer, layer));
  Seen seen = seeing({Symptom::stringing});
  seen.layers = Range{5, 5};  // the worst 20 lie on layers 31 to 50
  const Diagnosis answer = diagnose(report_with({many}), seen);
  REQUIRE(answer.causes.size() == 1);
  CHECK(answer.causes.front().evidence.front().nearness == Nearness::perhaps);
}

TEST_CASE("a travel is near where its way is, not where it begins") {
  Finding across = finding_of("open-travel", Severity::warning, Symptom::stringing, {at(5, 0, 50, 1)});
  keep_mark(across.marks, {.layer = 5, .points_mm = {{0, 50}, {100, 50}}, .width_mm = 0, .value = 1});
  Seen seen = seeing({Symptom::stringing});
  seen.at_mm = {60, 55};
  CHECK(diagnose(report_with({across}), seen).causes.size() == 1);
  seen.at_mm = {60, 75};
  CHECK(diagnose(report_with({across}), seen).causes.empty());
}

TEST_CASE("a part that lets go high up may stand on a bad foot below; strings hang where they were drawn") {
  const Finding foot = finding_of("weak-first-layer", Severity::warning, Symptom::knocked_loose, {at(1, 20, 20, 0.2)});
  Seen seen = seeing({Symptom::knocked_loose});
  seen.layers = Range{40, 40};
  Diagnosis answer = diagnose(report_with({foot}), seen);
  REQUIRE(answer.causes.size() == 1);
  CHECK(answer.causes.front().evidence.front().nearness == Nearness::before);
  seen.at_mm = {90, 90};  // another object's foot
  CHECK(diagnose(report_with({foot}), seen).causes.empty());

  const Finding worn = finding_of("dense-retraction", Severity::warning, Symptom::clogging, {at(10, 20, 20, 2)});
  seen = seeing({Symptom::clogging});
  seen.layers = Range{30, 30};
  seen.at_mm = {90, 90};  // worn filament jams later, wherever the head is then
  CHECK(diagnose(report_with({worn}), seen).causes.size() == 1);
  seen.layers = Range{3, 3};  // and not before it is worn
  CHECK(diagnose(report_with({worn}), seen).causes.empty());
}

TEST_CASE("a place where nothing was printed is a slip of the person who names it") {
  for (const char* what : {"layer", "height", "place"}) {
    Seen seen = seeing({Symptom::stringing});
    if (what == std::string_view("layer")) seen.layers = Range{400, 400};
    if (what == std::string_view("height")) seen.height_mm = Range{50, 60};
    if (what == std::string_view("place")) seen.at_mm = {400, 20};
    INFO(what);
    CHECK_THROWS_AS(diagnose(report_with({}), seen), Error);
  }
}

TEST_CASE("an accepted finding is a cause all the same, and marked") {
  Finding known = finding_of("open-travel", Severity::warning, Symptom::stringing, {at(5, 20, 20, 1)});
  known.accepted = Acceptance{"the vase is sanded", "beadwise.toml:3", true};
  const Diagnosis answer = diagnose(report_with({known}), seeing({Symptom::stringing}));
  REQUIRE(answer.causes.size() == 1);
  CHECK(diagnosis_as_text(answer, {}).find("Somebody accepted it") != std::string::npos);
}

TEST_CASE("a liner of which nobody knows is not ruled out where a lined hot end would suffer") {
  FileReport report = report_with({});
  report.job->nozzle_c = {250, 250};
  const Diagnosis unknown = diagnose(report, seeing({Symptom::clogging}));
  REQUIRE(of_check(unknown.not_judged, "liner-overheat") != nullptr);
  CHECK(of_check(unknown.not_judged, "liner-overheat")->because.find("--set machine.liner") != std::string::npos);
  Profile stated;
  stated.machine.liner.value = false;
  CHECK(of_check(diagnose(report, seeing({Symptom::clogging}), stated).ruled_out, "liner-overheat") != nullptr);
}

TEST_CASE("guesses that the answer rests on are named, what was stated is not") {
  FileReport report = report_of_plate("irrigation_clips_not_pulled_back.gcode");
  const auto is_named = [&](std::string_view key) {
    const Diagnosis answer = diagnose(report, seeing({Symptom::stringing}));
    return std::any_of(answer.guesses.begin(), answer.guesses.end(),
                       [&](const Assumption& guess) { return guess.key == key; });
  };
  CHECK(is_named("filament.material"));
  CHECK(!is_named("machine.max_acceleration_mm_per_s2"));
  for (Assumption& assumption : report.assumptions) assumption.from = Origin::command_line;
  CHECK(!is_named("filament.material"));
}

TEST_CASE("every symptom has at least three things to look at by hand, each with a figure and a source; and cautions") {
  for (const Symptom symptom : all_symptoms) {
    const std::vector<Symptom> symptoms = {symptom};
    const std::vector<Look> looks = looks_for(symptoms);
    INFO(to_string(symptoms.front()));
    CHECK(looks.size() >= 3);
    const auto figures = std::count_if(looks.begin(), looks.end(), [](const Look& look) {
      return look.test.find_first_of("0123456789") != std::string::npos && !look.source.empty();
    });
    CHECK(figures >= 1);
  }
  const Diagnosis answer = diagnose(report_with({}), seeing({Symptom::clogging}));
  for (const char* word : {"maker's manual", "licensed", "unplug", "burn", "air the room"}) {
    INFO(word);
    CHECK(has(answer.cautions, word));
  }
  CHECK(std::set<std::string>(answer.cautions.begin(), answer.cautions.end()).size() == answer.cautions.size());
}

// 1 m of filament: its cross-section (geometry) times the density of the material.
TEST_CASE("the weight of a metre of filament is that of its volume") {
  const auto looks = looks_for(std::vector<Symptom>{Symptom::runout});
  const double pi = 3.14159265358979;
  CHECK(near(pi * 1.75 * 1.75 / 4 * 1.24, 2.98, 0.005));
  CHECK(near(pi * 1.75 * 1.75 / 4 * 1.27, 3.05, 0.006));
  CHECK(looks.front().test.find("2.98 g") != std::string::npos);
  CHECK(looks.front().test.find("3.05 g") != std::string::npos);
}

TEST_CASE("two symptoms are answered together, and a check that explains both weighs for both") {
  Finding flow = finding_of("excess-flow", Severity::warning, Symptom::under_extrusion, {at(5, 20, 20, 1)});
  flow.symptoms.push_back(Symptom::weak_layers);
  const Diagnosis answer = diagnose(report_with({flow}), seeing({Symptom::under_extrusion, Symptom::weak_layers}));
  REQUIRE(answer.causes.size() == 1);
  CHECK(answer.causes.front().explains.size() == 2);
  CHECK(near(answer.causes.front().evidence.front().score, 6, 1e-9));
}

}  // namespace
}  // namespace beadwise::tests
