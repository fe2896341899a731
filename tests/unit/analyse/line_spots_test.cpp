#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "analyse/named_lines.hpp"
#include "beadwise/analyse.hpp"

using namespace beadwise;

namespace {

/// What is found on lines that cannot be read.
FileReport analysed(const Source& source, std::size_t block_bytes = AnalyseOptions{}.block_bytes) {
  AnalyseOptions options;
  options.only = {"unread-line"};
  options.line_spots = true;
  options.block_bytes = block_bytes;
  return analyse(source, options);
}

FileReport analysed(const std::string& gcode) { return analysed(Source::memory("label.gcode", gcode)); }

const LineSpot& only_spot(const FileReport& report) {
  REQUIRE(report.line_spots.size() == 1);
  return report.line_spots.front();
}

}  // namespace

TEST_CASE("a line stands where its bytes and its letters are, from 0 in the file") {
  const FileReport report = analysed("G28\nG1 X{row} Y5\nM84\n");
  const LineSpot& spot = only_spot(report);
  CHECK(spot.line == 2);
  CHECK(spot.byte_offset == 4);
  CHECK(spot.bytes == 12);
  CHECK(spot.char_offset == 4);
  CHECK(spot.chars == 12);
  CHECK(spot.text == "G1 X{row} Y5");
}

TEST_CASE("a byte-order mark is bytes but no letter (SARIF 2.1.0, section 3.30.2)") {
  // Three bytes of the mark, then "G28" and CRLF.
  const LineSpot spot = only_spot(analysed("\xEF\xBB\xBFG28\r\nG1 X{row} Y5\r\nM84\r\n"));
  CHECK(spot.line == 2);
  CHECK(spot.byte_offset == 8);
  CHECK(spot.char_offset == 5);
  CHECK(spot.chars == 12);
}

TEST_CASE("letters are code points, and a stray byte is one (RFC 3629)") {
  // An umlaut of two bytes, an apple of four; then a lone continuation and a letter that stops early: three stray
  // bytes.
  const LineSpot spot = only_spot(analysed("; \xC3\x84 \xF0\x9F\x8D\x8E\n; \x80 \xE2\x82\nG1 X{\xC3\xB6l} Y5\n"));
  CHECK(spot.line == 3);
  CHECK(spot.byte_offset == 10 + 7);
  CHECK(spot.char_offset == 6 + 7);
  CHECK(spot.bytes == 12);
  CHECK(spot.chars == 11);
}

TEST_CASE("the same places for any size of block") {
  std::string gcode = "\xEF\xBB\xBF";
  for (int i = 0; i < 60; ++i)
    gcode += i % 3 == 0 ? "G1 X{row} Y5\r" : i % 3 == 1 ? "; \xC3\xA4pfel\r\n" : "G1 X1\xFF\n";
  const FileReport whole = analysed(gcode);
  REQUIRE(whole.line_spots.size() > 10);
  for (const std::size_t block_bytes : {1, 7, 64}) {
    const FileReport report = analysed(Source::memory("label.gcode", gcode), block_bytes);
    REQUIRE(report.line_spots.size() == whole.line_spots.size());
    for (std::size_t i = 0; i < whole.line_spots.size(); ++i) {
      CHECK(report.line_spots[i].line == whole.line_spots[i].line);
      CHECK(report.line_spots[i].byte_offset == whole.line_spots[i].byte_offset);
      CHECK(report.line_spots[i].char_offset == whole.line_spots[i].char_offset);
      CHECK(report.line_spots[i].text == whole.line_spots[i].text);
    }
  }
}

TEST_CASE("of a long line the beginning is kept, cut between letters") {
  std::string line = "G1 X{";
  for (int i = 0; i < 300; ++i) line += "\xC3\xA4";
  const LineSpot spot = only_spot(analysed("G28\n" + line + "}\nM84\n"));
  // 200 bytes would end inside a letter: 5 bytes and 97 letters of two bytes are 199.
  CHECK(spot.text.size() == 199);
  CHECK(spot.bytes == 606);
  CHECK(spot.chars == 306);
}

TEST_CASE("every line that a finding names has its place, in order, and no other line") {
  std::string gcode = "G28\n";
  for (int i = 0; i < 100; ++i) gcode += "G1 X{row} Y5\nG1 X1 Y1\n";
  const FileReport report = analysed(gcode);
  const std::vector<std::uint64_t> named = named_lines(report.findings);
  CHECK(named.size() >= max_places);
  REQUIRE(report.line_spots.size() == named.size());
  for (std::size_t i = 0; i < named.size(); ++i) CHECK(report.line_spots[i].line == named[i]);
}

TEST_CASE("nothing is looked for unless it is asked for, and nothing where nothing was found") {
  AnalyseOptions options;
  options.only = {"unread-line"};
  CHECK(analyse(Source::memory("label.gcode", "G28\nG1 X{row} Y5\n"), options).line_spots.empty());
  const FileReport clean = analysed("G28\nG1 X1 Y5\n");
  CHECK(!clean.failure);
  CHECK(clean.line_spots.empty());
}

TEST_CASE("pictures and places of lines can be had together") {
  AnalyseOptions options;
  options.only = {"unread-line"};
  options.line_spots = true;
  options.report_data = ReportData::findings;
  const FileReport report = analyse(Source::memory("label.gcode", "G28\nG1 X{row} Y5\nM84\n"), options);
  CHECK(report.pictures);
  CHECK(report.line_spots.size() == 1);
}

TEST_CASE("a report knows what was stated for its checks") {
  AnalyseOptions options;
  options.only = {"unread-line"};
  options.sets = {"checks.low-travel.min_lift_mm=0.3"};
  const FileReport report = analyse(Source::memory("label.gcode", "G28\nG1 X1 Y5\n"), options);
  REQUIRE(report.stated_checks.count("low-travel") == 1);
  const Setting<double>& limit = report.stated_checks.at("low-travel").limits.at("min_lift_mm");
  CHECK(*limit == 0.3);
  CHECK(limit.from == Origin::command_line);
}
