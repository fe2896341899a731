#include <doctest/doctest.h>

#include <algorithm>

#include "report/wrap.hpp"
#include "sample_report.hpp"

using namespace beadwise;

namespace {

std::string text_of(const FileReport& report, const TextStyle& style = {}) {
  return check_as_text(std::span(&report, 1), style);
}

bool has(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines(1);
  for (const char letter : text) {
    if (letter == '\n') {
      lines.emplace_back();
    } else {
      lines.back() += letter;
    }
  }
  lines.pop_back();
  return lines;
}

std::size_t widest(const std::string& text) {
  std::size_t most = 0;
  for (const std::string& line : lines_of(text)) most = std::max(most, columns_of(line));
  return most;
}

}  // namespace

TEST_CASE("the verdict stands on the second line, below the file's name") {
  const std::vector<std::string> lines = lines_of(text_of(sample_report()));
  CHECK(lines.at(0) == "row-labels.gcode");
  CHECK(lines.at(1) == "Do not print this as it is: 1 error.");
  CHECK(lines.at(2) == "42 layers in about 1 h 12 min, 3.42 m of filament (10.2 g), 120 × 80.5 mm wide");
}

TEST_CASE("a finding tells what, why, what to do and where") {
  const std::string text = text_of(sample_report());
  CHECK(has(text, "1. ERROR dense-retraction: clogging, under-extrusion\n"));
  CHECK(
      has(text, "   What   One stretch of filament passes the drive gear 131 times on layers 12\n          to 14.\n"));
  CHECK(has(text, "   Why    The gear grinds"));
  CHECK(has(text, "   Do     Join the travels"));
  CHECK(has(text, "   Where  layer 12, X 12.1 Y 5.5 Z 2.4, line 1203: 131 passes\n"));
  CHECK(has(text, "          48 places in all: layers 12 to 14, lines 1203 to 1250\n"));
  CHECK(has(text, "   Limit  100 passes (built-in); here 131\n"));
  CHECK_FALSE(has(text, "line 1206:"));  // the three worst are told
}

TEST_CASE("what was assumed is told with the way to say otherwise, what was stated is not") {
  const std::string text = text_of(sample_report());
  CHECK(has(text, "--set KEY=VALUE"));
  CHECK(has(text, "machine.nozzle_diameter_mm = 0.4 (from the file): Most beads are 0.45 mm\n    wide."));
  CHECK(has(text, "filament.material = \"pla\""));
  CHECK(has(text, "filament.nozzle_c = [180, 235] (built-in)"));
  CHECK_FALSE(has(text, "machine.liner"));
}

TEST_CASE("values assumed for one reason stand together") {
  FileReport report = sample_report();
  const std::string because = "The beads are plausible so.";
  report.assumptions = {{"machine.nozzle_diameter_mm", 0.4, Origin::file, because},
                        {"machine.e_unit", std::string("mm"), Origin::file, because},
                        {"machine.drive", std::string("direct"), Origin::file, "The retractions are short."}};
  const std::string text = text_of(report);
  CHECK(has(text, "  machine.nozzle_diameter_mm = 0.4; machine.e_unit = \"mm\" (from the file):"));
  CHECK(has(text, "  machine.drive = \"direct\" (from the file): The retractions are short.\n"));
}

TEST_CASE("what was checked and what was skipped stands at the end") {
  const std::string text = text_of(sample_report());
  CHECK(has(text, "2 checks ran; 1 of them found nothing"));
  CHECK(has(text, "Skipped short-spool: nobody stated how much filament is left\n"));
}

TEST_CASE("a clean file takes less than a screen, however much was assumed") {
  FileReport report = clean_report();
  for (int i = 0; i < 12; ++i) {
    report.assumptions.push_back({"machine.tube_length_mm", 400.0, Origin::built_in,
                                  "Reason " + std::to_string(i) +
                                      " goes on about where the number comes from, and then some more of "
                                      "it, so that it takes several lines of a terminal."});
  }
  report.unseen = std::vector<std::string>(
      5, "`START` on line 3 is a macro of the machine: what it heats, homes, moves or ends is not in the file.");
  for (int i = 0; i < 20; ++i) report.unknown.push_back({"SOME_LONG_COMMAND_" + std::to_string(i), 1000});
  for (int i = 0; i < 5; ++i) {
    report.checks.push_back({"check-" + std::to_string(i), false, "A reason of its own, " + std::to_string(i), 0});
  }
  const std::string text = text_of(report);
  CHECK(has(text, "And 4 more"));
  CHECK(has(text, "Nothing found by the 2 checks that ran."));
  CHECK(lines_of(text).size() < 24);
  CHECK(has(text, "machine.tube_length_mm = 400"));
  CHECK(has(text, "beadwise profile show"));
}

TEST_CASE("what was passed over is named once") {
  FileReport report = sample_report();
  report.unseen = {"`START` on line 3 is a macro of the machine."};
  report.unknown = {{"M862.3", 2}, {"START", 1}, {"M105", 1}};
  CHECK(has(text_of(report), "  Commands passed over: M862.3 (2 times) and M105.\n"));
}

TEST_CASE("no line is wider than the terminal") {
  FileReport report = sample_report();
  report.findings[0].what = "At 215 °C the flow of 14.6 mm³/s — " + std::string(200, 'x') + " — is too much.";
  report.unseen = {"START_PRINT may have heated the nozzle, homed the axes and laid a prime line that nobody sees."};
  for (const std::size_t width : {40, 60, 80, 120}) {
    TextStyle style;
    style.width = width;
    CHECK(widest(text_of(report, style)) <= width);
  }
}

TEST_CASE("there is colour only where it is wanted") {
  CHECK_FALSE(has(text_of(sample_report()), "\x1b"));
  TextStyle style;
  style.color = true;
  CHECK(has(text_of(sample_report(), style), "\x1b[1;31m1. ERROR dense-retraction\x1b[0m: clogging"));
}

TEST_CASE("a file cannot send commands to the terminal") {
  FileReport report = sample_report();
  report.file = "a\x1b]0;owned\x07.gcode";
  report.findings[0].what = "Line 3 says \x1b[2J\r\nand \xFF.";
  const std::string text = text_of(report);
  CHECK_FALSE(has(text, "\x1b"));
  CHECK_FALSE(has(text, "\r"));
  CHECK_FALSE(has(text, "\xFF"));
}

TEST_CASE("quiet tells the verdict and what stands at or above a warning") {
  FileReport report = sample_report();
  Finding note = report.findings[0];
  note.severity = Severity::note;
  note.check = "unread-line";
  report.findings.push_back(note);
  TextStyle style;
  style.quiet = true;
  const std::string text = text_of(report, style);
  CHECK(has(text, "Do not print this as it is: 1 error and 1 note."));
  CHECK(has(text, "dense-retraction"));
  CHECK_FALSE(has(text, "unread-line"));
  CHECK_FALSE(has(text, "Checked"));
  CHECK(text_of(clean_report(), style) == "row-labels.gcode\nNothing found by the 2 checks that ran.\n");
}

TEST_CASE("several files end with one line per severity") {
  std::vector<FileReport> reports = {sample_report(), clean_report(), clean_report()};
  reports[1].file = "crate-tags.gcode";
  reports[2].file = "lost.gcode";
  reports[2].failure = "There is no such file.";
  const std::string text = check_as_text(reports, {});
  CHECK(has(text,
            "All 3 files, by the worst found in each\n"
            "  unreadable    1  lost.gcode\n"
            "  error         1  row-labels.gcode\n"
            "  clean         1  crate-tags.gcode\n"));
  CHECK(has(text, "This file could not be read to its end: There is no such file."));
}

TEST_CASE("a finding names its objects where the plate has several") {
  FileReport report = sample_report();
  const auto told = [&](std::vector<std::uint32_t> numbers) {
    report.findings[0].objects = std::move(numbers);
    return text_of(report);
  };
  // A skirt of one layer, which is object 1 and not named, and row labels side by side.
  report.objects = {
      {.object = 1, .x_mm = {0, 200}, .y_mm = {0, 50}, .z_mm = {0.2, 0.2}, .first_layer = 1, .last_layer = 1},
      {.object = 2, .x_mm = {30, 52.3}, .y_mm = {10, 18}, .z_mm = {0.2, 2}, .first_layer = 1, .last_layer = 10}};
  CHECK_FALSE(has(told({2}), "object"));
  report.objects.push_back(
      {.object = 3, .x_mm = {60, 82}, .y_mm = {10, 18}, .z_mm = {0.2, 2}, .first_layer = 1, .last_layer = 10});
  CHECK(has(told({2}), "          on object 2: X 30 to 52.3, Y 10 to 18\n"));
  CHECK(has(told({2, 3}), "          on each of the 2 objects\n"));
  CHECK_FALSE(has(told({}), "object"));
  for (std::uint32_t number = 4; number <= 13; ++number) {
    report.objects.push_back(report.objects.back());
    report.objects.back().object = number;
  }
  CHECK(has(told({3, 5, 12}), "          on objects 3, 5 and 12\n"));
  CHECK(has(told({2, 3, 4, 5, 6, 7, 8, 9, 10}), "          on 9 of the 12 objects\n"));
}
