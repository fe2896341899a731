#include "beadwise/compare.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "orchard_findings.hpp"
#include "report/wrap.hpp"

using namespace beadwise;

namespace {

FileReport report_of(const std::vector<Finding>& findings) { return orchard_report("tags.gcode", findings); }

Finding bridge(double x_mm, double y_mm, double span_mm = 30) {
  return orchard_finding("unsupported-bead", "bridge", x_mm, y_mm, span_mm, 25);
}

std::map<Change, std::size_t> counts(const Comparison& comparison) {
  std::map<Change, std::size_t> counts;
  for (const ComparedFinding& finding : comparison.findings) ++counts[finding.change];
  return counts;
}

Change change_of(const Finding& before, const Finding& after) {
  const Comparison comparison = compare(report_of({before}), report_of({after}));
  REQUIRE(comparison.findings.size() == 1);
  return comparison.findings.front().change;
}

/// A finding whose places say, as those of checks do, how far they are off rather than what was measured.
Finding off_by(std::string check, double value, double limit, Severity severity = Severity::warning) {
  Finding finding = orchard_finding(std::move(check), "kind", 50, 50, value, limit, severity);
  finding.places = {};
  finding.places.add({.line = 1, .layer = 1, .value = std::abs(value - limit)});
  return finding;
}

}  // namespace

TEST_CASE("a report compared with itself has not changed") {
  const FileReport report = report_of({bridge(30, 40), bridge(90, 70), bridge(30, 41),
                                       orchard_finding("low-travel", "outer walls", 50, 50, 1200, 1000)});
  const Comparison comparison = compare(report, report);
  CHECK(counts(comparison) == std::map<Change, std::size_t>{{Change::unchanged, 4}});
  for (const ComparedFinding& one : comparison.findings) {
    CHECK(one.before->fingerprint == one.after->fingerprint);
    CHECK_FALSE(one.elsewhere);
  }
  CHECK_FALSE(reaches(comparison, Severity::note));
  for (const ComparedFigure& figure : comparison.figures) CHECK(figure.difference().value_or(0) == 0);
}

TEST_CASE("what was repaired is gone, what came in is new") {
  const FileReport before = report_of({bridge(30, 40)});
  const FileReport after = report_of({orchard_finding("thin-stroke", "raised lettering, 4 glyphs", 50, 50, 0.2, 0.3)});
  CHECK(counts(compare(before, after)) == std::map<Change, std::size_t>{{Change::gone, 1}, {Change::appeared, 1}});
  CHECK(counts(compare(before, report_of({}))) == std::map<Change, std::size_t>{{Change::gone, 1}});
}

TEST_CASE("of several findings of one kind each is the one that lies there, whatever their order") {
  Finding left = bridge(30, 40);
  Finding right = bridge(90, 70);
  right.places = {};
  right.places.add({.line = 99, .layer = 5, .x_mm = 90, .y_mm = 70, .z_mm = 2, .has_position = true, .value = 30});
  Finding left_later = left;
  left_later.places = {};
  left_later.places.add(
      {.line = 200, .layer = 5, .x_mm = 30.5, .y_mm = 40, .z_mm = 2, .has_position = true, .value = 30});
  // Printed in another order, the fingerprints of the two change places.
  const FileReport before = report_of({left, right});
  const FileReport after = report_of({right, left_later});
  REQUIRE(before.findings[0].fingerprint == after.findings[0].fingerprint);
  REQUIRE(before.findings[0].places.low(0) != after.findings[0].places.low(0));
  const Comparison comparison = compare(before, after);
  CHECK(counts(comparison) == std::map<Change, std::size_t>{{Change::unchanged, 2}});
  for (const ComparedFinding& one : comparison.findings) {
    CHECK(one.known_by == KnownBy::place);
    CHECK(std::abs(one.before->places.low(0) - one.after->places.low(0)) < 1);
  }
}

TEST_CASE("one of two that went away leaves the other where it lies") {
  const Comparison comparison = compare(report_of({bridge(30, 40), bridge(90, 70)}), report_of({bridge(90, 70)}));
  CHECK(counts(comparison) == std::map<Change, std::size_t>{{Change::unchanged, 1}, {Change::gone, 1}});
  CHECK(comparison.findings.front().before->places.low(0) == 30);
}

TEST_CASE("a part that was moved on the plate keeps its findings") {
  const FileReport before = report_of({bridge(30, 40), bridge(90, 70)});
  FileReport after = report_of({bridge(90 + 57, 70 - 13), bridge(30 + 57, 40 - 13)});
  after.job->bounds_x_mm = {10 + 57, 110 + 57};
  after.job->bounds_y_mm = {20 - 13, 80 - 13};
  const Comparison comparison = compare(before, after);
  CHECK(counts(comparison) == std::map<Change, std::size_t>{{Change::unchanged, 2}});
  for (const ComparedFinding& one : comparison.findings)
    CHECK(one.after->places.low(0) - one.before->places.low(0) == doctest::Approx(57));
}

TEST_CASE("a key with other figures or another grade is known by its likeness") {
  const auto alike = [](const std::string& check, const std::string& a, const std::string& b, double x_mm = 50) {
    const Comparison comparison = compare(report_of({orchard_finding(check, a, 50, 50, 30, 25)}),
                                          report_of({orchard_finding(check, b, x_mm, 50, 30, 25)}));
    return comparison.findings.size() == 1 && comparison.findings.front().known_by == KnownBy::likeness;
  };
  // Keys as the checks give them.
  CHECK(alike("dense-retraction", "tool 0 near Z 1.4 mm", "tool 0 near Z 1.5 mm"));
  CHECK(alike("thin-stroke", "raised lettering, 10 glyphs, 4 mm high", "raised lettering, 9 glyphs, 5 mm high"));
  CHECK(alike("small-footprint", "tips over", "may tip over"));
  CHECK(alike("unread-line", "placeholder, motion or heater", "placeholder, motion or heater lines"));
  CHECK(alike("unsupported-bead", "long bridge", "bridge"));

  CHECK_FALSE(alike("dense-retraction", "tool 0 near Z 1.4 mm", "tool 0 near Z 1.5 mm", 90));  // elsewhere
  CHECK_FALSE(alike("dense-retraction", "tool 0", "tool 1"));
  CHECK_FALSE(alike("thin-stroke", "raised strokes", "sunk strokes, deep"));
  CHECK_FALSE(alike("low-travel", "outer walls", "other islands"));
  CHECK_FALSE(alike("unsupported-bead", "beads beyond the highest X", "beads beyond the highest Y"));
}

TEST_CASE("another unit is another thing") {
  Finding ratio = orchard_finding("unsupported-bead", "long bridge", 50, 50, 30, 25);
  ratio.measured->unit = "ratio";
  CHECK(compare(report_of({bridge(50, 50)}), report_of({ratio})).findings.size() == 2);
}

TEST_CASE("better and worse go by severity before anything else") {
  const Finding mild = orchard_finding("low-travel", "walls", 50, 50, 90, 10, Severity::note);
  const Finding grave = orchard_finding("low-travel", "walls", 50, 50, 30, 10, Severity::error);
  CHECK(change_of(mild, grave) == Change::worse);
  CHECK(change_of(grave, mild) == Change::better);
}

TEST_CASE("better and worse go by what was measured against its limit, within a band of 5 %") {
  CHECK(change_of(bridge(50, 50, 40), bridge(50, 50, 46)) == Change::worse);
  CHECK(change_of(bridge(50, 50, 46), bridge(50, 50, 40)) == Change::better);
  CHECK(change_of(bridge(50, 50, 40), bridge(50, 50, 41.9)) == Change::unchanged);  // 41.9 / 40 = 1.0475
  CHECK(change_of(bridge(50, 50, 40), bridge(50, 50, 42.2)) == Change::worse);      // 2.2 / 42.2 = 5.2 %
  // The same flow is worse where the limit is lower: 15 of 10 after 15 of 14.
  CHECK(change_of(orchard_finding("excess-flow", "tool 0", 50, 50, 15, 14),
                  orchard_finding("excess-flow", "tool 0", 50, 50, 15, 10)) == Change::worse);
}

TEST_CASE("where a value falls short of its limit, less is worse") {
  CHECK(change_of(off_by("thin-stroke", 0.25, 0.3), off_by("thin-stroke", 0.15, 0.3)) == Change::worse);
  CHECK(change_of(off_by("thin-stroke", 0.15, 0.3), off_by("thin-stroke", 0.25, 0.3)) == Change::better);
  CHECK(change_of(off_by("thin-stroke", 0.28, 0.3, Severity::note), off_by("thin-stroke", 0.2, 0.3, Severity::note)) ==
        Change::worse);
  // A note that names the next limit up, which it does not reach: more is worse.
  const auto scar = [](double mm) { return orchard_finding("low-travel", "top", 50, 50, mm, 20, Severity::note); };
  CHECK(change_of(scar(11), scar(17)) == Change::worse);
}

TEST_CASE("a temperature is measured by how far it is beyond its limit") {
  // 20 degrees too hot, then 10: half as bad, although 245 is 96 % of 255.
  CHECK(change_of(off_by("temperature-out-of-range", 255, 235), off_by("temperature-out-of-range", 245, 235)) ==
        Change::better);
  CHECK(change_of(off_by("temperature-out-of-range", 255, 235), off_by("temperature-out-of-range", 255.5, 235)) ==
        Change::unchanged);
}

TEST_CASE("where nothing is measured, the number of places counts") {
  Finding few = bridge(50, 50);
  few.measured.reset();
  Finding many = few;
  for (std::uint64_t line = 1; line < 40; ++line) many.places.add({.line = line});
  CHECK(change_of(few, many) == Change::worse);
  CHECK(change_of(many, few) == Change::better);
  CHECK(change_of(many, many) == Change::unchanged);
}

TEST_CASE("swapped files give new for gone and better for worse") {
  const FileReport before =
      report_of({bridge(30, 40, 40), bridge(90, 70), bridge(60, 60), off_by("thin-stroke", 0.2, 0.3),
                 orchard_finding("dense-retraction", "tool 0 near Z 1.4 mm", 50, 50, 60, 50)});
  const FileReport after =
      report_of({bridge(90, 70, 50), bridge(30, 40, 30), off_by("thin-stroke", 0.1, 0.3),
                 orchard_finding("dense-retraction", "tool 0 near Z 1.8 mm", 50, 50, 90, 50, Severity::error),
                 orchard_finding("low-travel", "outer walls", 50, 50, 1200, 1000)});
  const std::map<Change, Change> swapped = {{Change::appeared, Change::gone},
                                            {Change::gone, Change::appeared},
                                            {Change::worse, Change::better},
                                            {Change::better, Change::worse},
                                            {Change::unchanged, Change::unchanged}};
  const auto list = [](const Comparison& comparison, bool swap, const std::map<Change, Change>& names) {
    std::vector<std::string> rows;
    for (const ComparedFinding& one : comparison.findings) {
      const auto& first = swap ? one.after : one.before;
      const auto& second = swap ? one.before : one.after;
      const Change change = swap ? names.at(one.change) : one.change;
      rows.push_back(std::string(to_string(change)) + ' ' + (first ? first->check + first->fingerprint : "-") + ' ' +
                     (second ? second->check + second->fingerprint : "-"));
    }
    std::sort(rows.begin(), rows.end());
    return rows;
  };
  const std::vector<std::string> there = list(compare(before, after), false, swapped);
  CHECK(there == list(compare(after, before), true, swapped));
  CHECK(there.size() == 6);
}

TEST_CASE("the gate looks at what is new or has become as bad as that") {
  const auto with = [](Severity severity) {
    return report_of({orchard_finding("low-travel", "walls", 50, 50, 30, 10, severity)});
  };
  CHECK(reaches(compare(report_of({}), with(Severity::error)), Severity::error));
  CHECK_FALSE(reaches(compare(report_of({}), with(Severity::warning)), Severity::error));
  CHECK(reaches(compare(with(Severity::warning), with(Severity::error)), Severity::error));
  CHECK_FALSE(reaches(compare(with(Severity::error), with(Severity::error)), Severity::note));
  CHECK_FALSE(reaches(compare(with(Severity::warning), with(Severity::error)), Severity::note));
  CHECK_FALSE(reaches(compare(with(Severity::error), report_of({})), Severity::note));
  FileReport known = with(Severity::error);
  known.findings.front().accepted = Acceptance{.because = "hidden", .from = "beadwise.toml:3", .in_profile = true};
  CHECK_FALSE(reaches(compare(report_of({}), known), Severity::note));
}

TEST_CASE("a check that did not judge one of the files is told beside what stands in the other alone") {
  FileReport after = report_of({});
  for (CheckState& state : after.checks)
    if (state.check == "unsupported-bead") state = {"unsupported-bead", false, "switched off by beadwise.toml:3", 0};
  const Comparison comparison = compare(report_of({bridge(30, 40)}), after);
  REQUIRE(comparison.findings.size() == 1);
  CHECK(comparison.findings.front().change == Change::gone);
  CHECK(comparison.findings.front().unjudged == "switched off by beadwise.toml:3");
  CHECK(comparison_as_text(comparison, {.width = 200}).find("switched off by beadwise.toml:3") != std::string::npos);
}

TEST_CASE("figures stand side by side with difference and per cent") {
  FileReport before = report_of({bridge(30, 40)});
  FileReport after = before;
  after.job->duration_s = 750;
  after.job->retractions = 30;
  before.job->core_c_min = 150;
  after.job->core_c_min = 165;
  const Comparison comparison = compare(before, after);
  const auto figure = [&](std::string_view key) {
    return *std::find_if(comparison.figures.begin(), comparison.figures.end(),
                         [&](const ComparedFigure& one) { return one.key == key; });
  };
  CHECK(figure("duration_s").difference() == 150);
  CHECK(figure("duration_s").percent() == 25);
  CHECK(figure("retractions").percent() == -25);
  CHECK(figure("core_c_min").difference() == 15);
  CHECK_FALSE(figure("core_c_min").percent());  // 0 °C is no natural zero
  CHECK(figure("low_travels").before == 0);
  // Nobody knows the density: there is no mass to tell.
  CHECK(std::none_of(comparison.figures.begin(), comparison.figures.end(),
                     [](const ComparedFigure& one) { return one.key == "filament_mass_g"; }));
}

TEST_CASE("the comparison as text fits its width and shows nothing that a terminal obeys") {
  FileReport before = report_of({bridge(30, 40)});
  Finding hostile = orchard_finding("low-travel", "walls", 50, 50, 30, 10);
  hostile.what = "A name \x1b[31m with colours and a very long tail that has to be broken somewhere, surely.";
  FileReport after = report_of({hostile});
  after.file = "tags\x1b[2J.gcode";
  for (const std::size_t width : {40U, 80U, 100U}) {
    const std::string text = comparison_as_text(compare(before, after), {.color = false, .width = width});
    CHECK(text.find('\x1b') == std::string::npos);
    std::size_t start = 0;
    while (start < text.size()) {
      const std::size_t end = text.find('\n', start);
      CHECK(columns_of(std::string_view(text).substr(start, end - start)) <= width);
      start = end + 1;
    }
  }
  const std::string quiet = comparison_as_text(compare(before, after), {.quiet = true});
  CHECK(quiet.find("New: WARNING low-travel") != std::string::npos);
  CHECK(quiet.find("Gone") == std::string::npos);
  CHECK(quiet.find("printing time") == std::string::npos);
}

TEST_CASE("the comparison as JSON names its version, counts and both sides") {
  const nlohmann::json json = nlohmann::json::parse(
      comparison_as_json(compare(report_of({bridge(30, 40, 40)}), report_of({bridge(30, 40, 50)}))));
  CHECK(json["comparison_version"] == 1);
  CHECK(json["counts"]["worse"] == 1);
  CHECK(json["counts"]["new"] == 0);
  CHECK(json["findings"][0]["change"] == "worse");
  CHECK(json["findings"][0]["known_by"] == "fingerprint");
  CHECK(json["findings"][0]["before"]["measured"]["value"] == 40);
  CHECK(json["findings"][0]["after"]["measured"]["value"] == 50);
  CHECK(json["figures"][0]["figure"] == "duration_s");
}

TEST_CASE("the comparison as Markdown has a table and keeps names letters") {
  FileReport after = report_of({bridge(30, 40, 50)});
  after.file = "tags`|<b>.gcode";
  const std::string note = comparison_as_markdown(compare(report_of({bridge(30, 40, 40)}), after));
  CHECK(note.find("| printing time, min | 10.0 | 10.0 | 0 | 0 |") != std::string::npos);
  CHECK(note.find("**worse**, warning, `unsupported-bead`") != std::string::npos);
  CHECK(note.find("Compared by beadwise") != std::string::npos);
}
