#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <random>
#include <string>
#include <vector>

#include "beadwise/calibrate.hpp"
#include "beadwise/error.hpp"
#include "model/melt_zone.hpp"
#include "support/near.hpp"

namespace beadwise::tests {

namespace {

MeltZoneFit fit_of(std::string_view text) { return fit_melt_zone(read_slip_table("slip.csv", text)); }

std::string refusal_of(std::string_view text) {
  try {
    fit_of(text);
  } catch (const Error& error) {
    CHECK(error.kind() == ErrorKind::usage);
    return error.what();
  }
  return "none";
}

bool refuses(std::string_view text, std::string_view place, std::string_view words) {
  const std::string refusal = refusal_of(text);
  INFO(refusal);
  const bool right = refusal.starts_with(place) && refusal.find(words) != std::string::npos;
  CHECK_MESSAGE(right, refusal);
  return right;
}

/// Nozzle temperature at which a zone slips at a flow, from the melt zone that the checks use.
double slip_c(double alpha_l, double flow_temperature_c, double flow_mm3_per_s) {
  MeltSetup setup;
  setup.melt_zone_mm = 20;
  setup.diffusivity_mm2_per_s = alpha_l / setup.melt_zone_mm;
  setup.flow_temperature_c = flow_temperature_c;
  return nozzle_c_for(setup, zone_volume_mm3(setup) / flow_mm3_per_s);
}

/// Normal deviates that are the same with every standard library (Box and Muller 1958).
class Noise {
 public:
  double next() {
    const double a = (static_cast<double>(bits_()) + 1) / 4294967297.0;
    const double b = static_cast<double>(bits_()) / 4294967296.0;
    return std::sqrt(-2 * std::log(a)) * std::cos(2 * std::numbers::pi * b);
  }

 private:
  std::mt19937 bits_{20240529};
};

// Read et al. 2024, doi 10.1007/s40192-024-00350-w, table 3: flow, and −b, the temperature at which the drive slipped.
constexpr std::string_view read_2024 = "5,155\n10,167\n15,181\n20,201\n25,225\n";

}  // namespace

TEST_CASE("the published slip limits give their melt zone and flow temperature") {
  const MeltZoneFit fit = fit_of(read_2024);
  CHECK(near(fit.alpha_l_mm3_per_s.value, 2.125, 0.005));
  CHECK(near(fit.flow_temperature_c.value, 159.2, 0.2));
  // Five rows leave three degrees of freedom, t = 3.182: the intervals are wide.
  CHECK(fit.degrees_of_freedom == 3);
  CHECK(near(fit.alpha_l_mm3_per_s.half_width, 0.3, 0.01));
  CHECK(near(fit.flow_temperature_c.half_width, 9, 0.3));
  CHECK(near(fit.scatter_c, 3.75, 0.01));
  // Core temperatures at slip; with αL = 2.12 they are 154.9, 162.2, 161.8, 159.9, 156.4 °C, mean 159.0.
  const std::array<double, 5> cores{154.9, 162.2, 161.9, 160.1, 156.7};
  for (std::size_t i = 0; i < cores.size(); ++i) {
    CHECK(near(fit.rows[i].core_c, cores[i], 0.1));
    CHECK(near(fit.rows[i].residual_c, fit.rows[i].core_c - fit.flow_temperature_c.value, 1e-9));
    CHECK(near(fit.rows[i].curve_c, fit.rows[i].row.nozzle_c, 5));
    CHECK_FALSE(fit.rows[i].stands_apart);
  }
}

TEST_CASE("the fit is a least one: a step to any side makes the squares larger") {
  const MeltZoneFit fit = fit_of(read_2024);
  const auto squares = [&](double alpha_l, double flow_temperature_c) {
    double sum = 0;
    for (const FittedRow& one : fit.rows) {
      MeltSetup setup;
      setup.melt_zone_mm = alpha_l / 0.1;
      setup.diffusivity_mm2_per_s = 0.1;
      const double core = core_c(setup, zone_volume_mm3(setup) / one.row.flow_mm3_per_s, one.row.nozzle_c);
      sum += (core - flow_temperature_c) * (core - flow_temperature_c);
    }
    return sum;
  };
  const double alpha_l = fit.alpha_l_mm3_per_s.value;
  const double flow_c = fit.flow_temperature_c.value;
  const double least = squares(alpha_l, flow_c);
  CHECK(near(least, 3 * fit.scatter_c * fit.scatter_c, 1e-4));
  for (const double step : {-1e-3, 1e-3}) {
    CHECK(squares(alpha_l + step, flow_c) > least);
    CHECK(squares(alpha_l, flow_c + step) > least);
    CHECK(squares(alpha_l + step, flow_c + 20 * step) > least);
  }
}

TEST_CASE("rows on the curve of a known melt zone give it back") {
  for (const double alpha_l : {0.5, 1.2, 2.0, 5.0}) {
    for (const double flow_c : {130.0, 159.0, 220.0}) {
      SlipTable table{"made", {}};
      // Fo from 0.9 to 0.25: from a core that is all but heated through to one that needs a much hotter nozzle.
      for (const double fourier : {0.9, 0.6, 0.45, 0.35, 0.25}) {
        const double flow = std::numbers::pi * alpha_l / fourier;
        table.rows.push_back({flow, slip_c(alpha_l, flow_c, flow), table.rows.size() + 1});
      }
      const MeltZoneFit fit = fit_melt_zone(table);
      CHECK(near(fit.alpha_l_mm3_per_s.value, alpha_l, 1e-4));
      CHECK(near(fit.flow_temperature_c.value, flow_c, 1e-3));
      // Temperatures are read in whole degrees, so that even exact rows leave something open.
      CHECK(fit.flow_temperature_c.half_width > 0.4);
    }
  }
}

TEST_CASE("95 of 100 intervals hold the value that the rows were made of") {
  constexpr double alpha_l = 2.0;
  constexpr double flow_c = 160;
  constexpr int tables = 400;
  Noise noise;
  int alpha_l_held = 0;
  int flow_c_held = 0;
  for (int i = 0; i < tables; ++i) {
    SlipTable table{"made", {}};
    for (const double flow : {5.0, 10.0, 15.0, 20.0, 25.0}) {
      // 2 °C at the core; the nozzle needs more where the core lags behind.
      const double at_core = flow_c + 2 * noise.next();
      table.rows.push_back({flow, slip_c(alpha_l, at_core, flow), table.rows.size() + 1});
    }
    const MeltZoneFit fit = fit_melt_zone(table);
    alpha_l_held += fit.alpha_l_mm3_per_s.low() <= alpha_l && alpha_l <= fit.alpha_l_mm3_per_s.high();
    flow_c_held += fit.flow_temperature_c.low() <= flow_c && flow_c <= fit.flow_temperature_c.high();
  }
  // 380 of 400 are expected; the standard deviation of that count is √(400 × 0.95 × 0.05) = 4.4.
  CHECK(alpha_l_held >= 365);
  CHECK(alpha_l_held <= 394);
  CHECK(flow_c_held >= 365);
  CHECK(flow_c_held <= 394);
}

TEST_CASE("the order of the rows makes no difference") {
  const MeltZoneFit up = fit_of(read_2024);
  const MeltZoneFit mixed = fit_of("20,201\n5,155\n25,225\n15,181\n10,167\n");
  CHECK(near(up.alpha_l_mm3_per_s.value, mixed.alpha_l_mm3_per_s.value, 1e-6));
  CHECK(near(up.flow_temperature_c.half_width, mixed.flow_temperature_c.half_width, 1e-5));
  CHECK(mixed.rows.front().row.line == 1);
}

TEST_CASE("a row that was another fault stands apart") {
  const MeltZoneFit fit = fit_of("5,159\n10,164\n15,178\n20,200\n25,229\n12,182\n18,191\n");
  for (const FittedRow& one : fit.rows) CHECK(one.stands_apart == (one.row.line == 6));
}

TEST_CASE("a table may come from any spreadsheet") {
  const MeltZoneFit plain = fit_of(read_2024);
  for (const std::string_view text :
       {"5;155\n10;167\n15;181\n20;201\n25;225\n", "5\t155\r\n10\t167\r\n15\t181\r\n20\t201\r\n25\t225",
        "\xEF\xBB\xBFnozzle_c;flow_mm3_per_s\n155,0;5,0\n167;10\n181;15\n201;20\n225;25\n",
        "# bench of the orchard\n\nFlow (mm³/s),Temperature "
        "(°C),note\n5,155,first\n10,167,\n15,181,7\n20,201\n25,225\n",
        "\"5,0\",\"155,0\"\n10,167\n15,181 # twice\n20.0,+201\n2.5e1,225\r"}) {
    const MeltZoneFit fit = fit_of(text);
    CHECK(fit.rows.size() == 5);
    CHECK(near(fit.alpha_l_mm3_per_s.value, plain.alpha_l_mm3_per_s.value, 1e-9));
  }
}

TEST_CASE("lines count as an editor counts them") {
  const SlipTable table = read_slip_table("slip.csv", "# one\r\n\r\nflow,temp\r\n5,155\r\n\r\n10,167\r\n");
  REQUIRE(table.rows.size() == 2);
  CHECK(table.rows[0].line == 4);
  CHECK(table.rows[1].line == 6);
}

TEST_CASE("a line that cannot be read is named, with what to do") {
  refuses("5,155\n10,nan\n15,181\n", "slip.csv:2: ", "`nan` is no number");
  refuses("5,155\n10,inf\n", "slip.csv:2: ", "`inf` is no number");
  refuses("5,155\nten,167\n", "slip.csv:2: ", "`ten` is no number");
  refuses("5,155 °C\n", "slip.csv:1: ", "without a unit");
  refuses("5;1.550,5\n", "slip.csv:1: ", "`1.550,5` is no number");
  refuses("5,155\n10\n", "slip.csv:2: ", "only one of the columns");
  refuses("5,155\n,167\n", "slip.csv:2: ", "the flow is missing");
  refuses("5 155\n10 167\n", "slip.csv:1: ", "part the columns by a comma");
  refuses("5,155\n10;167\n", "slip.csv:2: ", "only one of the columns");
  refuses("a,b\n5,155\n", "slip.csv:1: ", "call those flow_mm3_per_s and nozzle_c");
  refuses("flow,note\n5,155\n", "slip.csv:1: ", "call it nozzle_c");
  refuses("temp,note\n155,5\n", "slip.csv:1: ", "call it flow_mm3_per_s");
  refuses("flow mm3/min,temp\n5,155\n", "slip.csv:1: ", "give mm³/s");
  refuses("flow,temp °F\n5,311\n", "slip.csv:1: ", "give °C");
  refuses("155,5\n167,10\n", "slip.csv:1: ", "the flow comes first");
  refuses("5,0,155,0\n", "slip.csv:1: ", "by semicolons");
  refuses("5,155,5\n10,167,0\n", "slip.csv:1: ", "by semicolons");
  refuses("0,155\n", "slip.csv:1: ", "not between 0 and 300");
  refuses("-5,155\n", "slip.csv:1: ", "not between 0 and 300");
  refuses("800,155\n", "slip.csv:1: ", "not between 0 and 300");
  refuses(std::string_view("5\0,\0", 4), "slip.csv: ", "save it as CSV");
  refuses("PK\x03\x04", "slip.csv: ", "save it as CSV");
}

TEST_CASE("too few rows or rows that tell nothing get no number") {
  refuses("", "slip.csv: ", "no row");
  refuses("flow,temp\n", "slip.csv: ", "no row");
  refuses("5,155\n10,167\n", "slip.csv:2: ", "at least 3");
  refuses("5,155\n5,160\n5,165\n", "slip.csv:3: ", "has the flow 5");
  refuses("5,200\n10,200\n15,200\n", "slip.csv:3: ", "has the nozzle temperature 200");
  refuses("5,155\n10,156\n15,155\n20,157\n", "slip.csv:4: ", "not how long");
  // The three lowest published rows: one degree of freedom, t = 12.7.
  refuses("5,155\n10,167\n15,181\n", "slip.csv:3: ", "do not settle");
}

TEST_CASE("rows that contradict each other or the model get no number") {
  refuses("5,225\n10,201\n15,181\n", "slip.csv:2: ", "contradicts line 1");
  refuses("15,181\n5,155\n25,225\n20,150\n", "slip.csv:4: ", "contradicts line 1");
  refuses("5,160\n10,158\n15,155\n20,152\n", "slip.csv:4: ", "does not rise with the flow");
  refuses("5,160\n10,240\n15,245\n20,248\n", "slip.csv:4: ", "do not settle");
}

TEST_CASE("no noise makes a number out of rows that hold none") {
  Noise noise;
  int numbers = 0;
  constexpr int tables = 300;
  for (int i = 0; i < tables; ++i) {
    SlipTable table{"made", {}};
    for (const double flow : {5.0, 10.0, 15.0, 20.0, 25.0}) {
      table.rows.push_back({flow, 190 + 4 * noise.next(), table.rows.size() + 1});
    }
    try {
      const MeltZoneFit fit = fit_melt_zone(table);
      CHECK(std::isfinite(fit.alpha_l_mm3_per_s.half_width));
      ++numbers;
    } catch (const Error&) {
    }
  }
  // A 95 % test is fooled in 5 % of the cases, half of them by a fall.
  CHECK(numbers <= tables * 6 / 100);
}

}  // namespace beadwise::tests
