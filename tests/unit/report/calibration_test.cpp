#include <doctest/doctest.h>

#include <toml++/toml.h>
#include <algorithm>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "beadwise/calibrate.hpp"
#include "beadwise/report.hpp"
#include "report/slip_plot.hpp"
#include "report/wrap.hpp"
#include "support/near.hpp"

namespace beadwise::tests {

namespace {

// Read et al. 2024, doi 10.1007/s40192-024-00350-w, table 3.
constexpr std::string_view read_2024 = "5,155\n10,167\n15,181\n20,201\n25,225\n";

Calibration calibration_of(std::string_view rows, double diffusivity, Origin from) {
  Calibration calibration{.table = "slip.csv",
                          .fit = fit_melt_zone(read_slip_table("slip.csv", rows)),
                          .material = {"abs", from, "for this test"},
                          .diffusivity_mm2_per_s = {diffusivity, from, "for this test"}};
  return calibration;
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) lines.push_back(line);
  return lines;
}

bool holds(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("the length of the melt zone is the fitted product over the diffusivity") {
  const Calibration calibration = calibration_of(read_2024, 0.106, Origin::command_line);
  // 2.125 mm³/s / 0.106 mm²/s = 20.05 mm; ± 0.297/0.106 = ± 2.80 mm
  CHECK(near(calibration.melt_zone_mm().value, 20.05, 0.05));
  CHECK(near(calibration.melt_zone_mm().half_width, 2.80, 0.05));
}

TEST_CASE("the piece of a profile is TOML and keeps the product") {
  for (const double diffusivity : {0.09, 0.106, 0.1234}) {
    const Calibration calibration = calibration_of(read_2024, diffusivity, Origin::command_line);
    const toml::table piece = toml::parse(calibration_as_toml(calibration));
    const double zone_mm = piece["machine"]["melt_zone_mm"].value_or(0.0);
    const double stated = piece["filament"]["diffusivity_mm2_per_s"].value_or(0.0);
    CHECK(near(zone_mm * stated, 2.125, 0.005));
    CHECK(near(piece["filament"]["flow_temperature_c"].value_or(0.0), 159.2, 0.2));
    CHECK(piece["filament"]["material"].value_or(std::string()) == "abs");
  }
}

TEST_CASE("an assumed material stays a comment, so that nobody states it by pasting") {
  const Calibration assumed = calibration_of(read_2024, 0.09, Origin::built_in);
  const toml::table piece = toml::parse(calibration_as_toml(assumed));
  CHECK_FALSE(piece["filament"]["material"]);
  CHECK(holds(calibration_as_text(assumed, {}), "assumption"));
  CHECK_FALSE(holds(calibration_as_text(calibration_of(read_2024, 0.106, Origin::profile), {}), "assumption"));
}

TEST_CASE("the report fits the terminal") {
  const Calibration calibration = calibration_of(read_2024, 0.106, Origin::built_in);
  const std::string toml = calibration_as_toml(calibration);
  for (const std::size_t width : {40, 50, 63, 64, 80, 100}) {
    TextStyle style;
    style.width = width;
    const std::string text = calibration_as_text(calibration, style);
    // What is to be pasted is never broken.
    REQUIRE(text.ends_with(toml));
    for (const std::string& line : lines_of(text.substr(0, text.size() - toml.size()))) {
      CHECK_MESSAGE(columns_of(line) <= width, line);
    }
    CHECK(holds(text, "± 0.297"));
    CHECK(holds(text, "± 8.8"));
  }
}

TEST_CASE("a plot has every point, and in ASCII nothing else than ASCII") {
  const Calibration calibration = calibration_of(read_2024, 0.106, Origin::built_in);
  const std::string ascii = slip_plot(calibration.fit, 80, true);
  CHECK(std::all_of(ascii.begin(), ascii.end(), [](char c) { return static_cast<unsigned char>(c) < 0x80; }));
  const std::vector<std::string> lines = lines_of(ascii);
  std::vector<std::size_t> columns;
  // From the top: the hottest point is the one of the highest flow. The first line explains the marks.
  for (std::size_t i = 1; i + 1 < lines.size(); ++i) {
    const std::size_t at = lines[i].find('o');
    if (at != std::string::npos) columns.push_back(at);
  }
  CHECK(columns.size() == 5);
  CHECK(std::is_sorted(columns.rbegin(), columns.rend()));
  const std::string drawn = slip_plot(calibration.fit, 80, false);
  std::size_t points = 0;
  for (std::size_t at = drawn.find("●"); at != std::string::npos; at = drawn.find("●", at + 1)) ++points;
  CHECK(points == 1 + 5);  // one of them explains the mark
}

TEST_CASE("equal flows far apart in temperature do not break the plot") {
  const Calibration calibration = calibration_of("5,159\n5,160\n25,229\n25,228\n25,230\n", 0.106, Origin::built_in);
  for (const std::size_t width : {1, 20, 40, 200})
    CHECK(lines_of(slip_plot(calibration.fit, width, true)).size() == 18);
}

TEST_CASE("JSON holds both intervals and the rows") {
  const nlohmann::json report =
      nlohmann::json::parse(calibration_as_json(calibration_of(read_2024, 0.106, Origin::profile)));
  CHECK(report["rows"].size() == 5);
  CHECK(near(report["alpha_l_mm3_per_s"]["high"], 2.42, 0.01));
  CHECK(near(report["flow_temperature_c"]["low"], 150.3, 0.3));
  CHECK(report["degrees_of_freedom"] == 3);
  CHECK(report["diffusivity_mm2_per_s"]["from"] == "profile");
}

TEST_CASE("a zone that nobody builds and rows off the curve are doubted") {
  // The same rows with flows 240 times too small: the zone comes out a 240th as long.
  const std::string unit = calibration_as_text(
      calibration_of("0.0207,155\n0.0416,167\n0.0624,181\n0.0831,201\n0.104,225\n", 0.106, Origin::profile), {});
  CHECK(holds(unit, "hardly built"));
  const std::string off = calibration_as_text(
      calibration_of("5,160\n10,190\n15,210\n20,225\n25,240\n30,250\n", 0.106, Origin::profile), {});
  CHECK(holds(off, "badly"));
  const std::string sound = calibration_as_text(calibration_of(read_2024, 0.106, Origin::profile), {});
  CHECK_FALSE(holds(sound, "hardly built"));
  CHECK_FALSE(holds(sound, "badly"));
  CHECK_FALSE(holds(sound, "stands apart"));
}

}  // namespace beadwise::tests
