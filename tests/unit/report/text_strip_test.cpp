#include "report/text_strip.hpp"

#include <doctest/doctest.h>

#include <sstream>

#include "report/wrap.hpp"
#include "sample_report.hpp"

using namespace beadwise;

namespace {

/// 80 s in steps of 1 s: 2 mm³/s, but 16 mm³/s from 40 to 50 s and nothing in the last 20 s.
FileReport report_with_flow() {
  FileReport report = sample_report();
  report.findings[0].check = "excess-flow";
  report.findings[0].measured = Measured{16, 11, "mm³/s", Origin::built_in};
  for (int second = 0; second < 80; ++second) {
    const double flow = second >= 60 ? 0 : second >= 40 && second < 50 ? 16 : 2;
    report.series.push_back({static_cast<double>(second), 1, flow, flow, flow});
  }
  return report;
}

std::vector<std::string> lines_of(const FileReport& report, std::size_t width, bool ascii = false) {
  TextStyle style;
  style.width = width;
  style.ascii = ascii;
  std::istringstream text(flow_strip_text(report, style));
  std::vector<std::string> lines;
  for (std::string line; std::getline(text, line);) lines.push_back(line);
  return lines;
}

std::string times(std::size_t count, const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < count; ++i) out += text;
  return out;
}

}  // namespace

TEST_CASE("the flow over the time is a line of blocks, marked where it is beyond the limit") {
  // 42 columns are 40 for 80 s, 2 s each; 2 of 16 mm³/s are an eighth.
  const std::vector<std::string> lines = lines_of(report_with_flow(), 42);
  REQUIRE(lines.size() > 4);
  CHECK(lines[0].empty());
  CHECK(lines[1] == "Flow through the melt zone");
  CHECK(lines[2] == "  " + times(20, "▁") + times(5, "█") + times(5, "▁") + times(10, " "));
  CHECK(lines[3] == "  " + times(20, " ") + times(5, "▲"));
}

TEST_CASE("within a long bead the flow is what it was before") {
  FileReport report = report_with_flow();
  std::erase_if(report.series, [](const SeriesRow& row) { return row.start_s > 50 && row.start_s < 60; });
  CHECK(lines_of(report, 42)[2] == "  " + times(20, "▁") + times(5, "█") + times(5, "▁") + times(10, " "));
}

TEST_CASE("what the line means is said in words") {
  std::string words;
  const std::vector<std::string> lines = lines_of(report_with_flow(), 100);
  for (std::size_t i = 4; i < lines.size(); ++i) words += (i > 4 ? " " : "") + lines[i];
  CHECK(words ==
        "From the start to 1 min 20 s, the most in each part of the time; the highest is 16 mm³/s. ▲: beyond 11 mm³/s, "
        "the limit of excess-flow.");
}

TEST_CASE("where only ASCII can be shown there is nothing else") {
  const std::vector<std::string> lines = lines_of(report_with_flow(), 42, true);
  REQUIRE(lines.size() > 4);
  CHECK(lines[2] == "  " + times(20, ".") + times(5, "#") + times(5, ".") + times(10, " "));
  CHECK(lines[3] == "  " + times(20, " ") + times(5, "^"));
  for (const std::string& line : lines)
    for (const char letter : line) CHECK(static_cast<unsigned char>(letter) < 0x80);
}

TEST_CASE("the strip is no wider than the terminal, and a short burst is not lost in it") {
  FileReport report = report_with_flow();
  report.series[70] = {70, 1, 1, 0, 12};
  for (const std::size_t width : {40, 60, 80, 100}) {
    const std::vector<std::string> lines = lines_of(report, width);
    REQUIRE(lines.size() > 4);
    for (const std::string& line : lines) CHECK(columns_of(line) <= width);
    CHECK(lines[2].find("▆") != std::string::npos);
  }
}

TEST_CASE("there is no strip without a finding about flow, or without a flow") {
  FileReport report = report_with_flow();
  report.findings[0].measured->unit = "passes";
  CHECK(flow_strip_text(report, {}).empty());
  report = report_with_flow();
  report.findings[0].accepted = Acceptance{};
  CHECK(flow_strip_text(report, {}).empty());
  report = report_with_flow();
  report.series.clear();
  CHECK(flow_strip_text(report, {}).empty());
  report = report_with_flow();
  for (SeriesRow& row : report.series) row.most = 0;
  CHECK(flow_strip_text(report, {}).empty());
}
