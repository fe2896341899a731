#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "beadwise/report.hpp"
#include "report/background_text.hpp"
#include "report/paint.hpp"
#include "report/slip_plot.hpp"
#include "report/spoken.hpp"
#include "report/table.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

// Zones of hot ends that the trade builds; beyond, the flow was in another unit or the material is another one.
constexpr double shortest_zone_mm = 4;
constexpr double longest_zone_mm = 80;
// Three times what the rows of Read et al. 2024, doi 10.1007/s40192-024-00350-w, table 3, scatter by: 3.75 °C.
constexpr double poor_scatter_c = 11;

std::string fixed(double value, int decimals) {
  const std::string text = fmt::format("{:.{}f}", value, decimals);
  return text.find_first_not_of("-0.") == std::string::npos && text.starts_with('-') ? text.substr(1) : text;
}

/// "2.12 mm³/s ± 0.30 (1.83 to 2.42)"
std::string in_words(const Estimate& estimate, int decimals, std::string_view unit) {
  return fmt::format("{} ± {} {} ({} to {})", fixed(estimate.value, decimals), fixed(estimate.half_width, decimals),
                     unit, fixed(estimate.low(), decimals), fixed(estimate.high(), decimals));
}

std::string head(const Calibration& calibration, const TextStyle& style) {
  const std::vector<FittedRow>& rows = calibration.fit.rows;
  const auto by_flow = [](const auto& a, const auto& b) { return a.row.flow_mm3_per_s < b.row.flow_mm3_per_s; };
  const auto [least, most] = std::minmax_element(rows.begin(), rows.end(), by_flow);
  return painted(shown(calibration.table), Tone::strong, style.color) + '\n' +
         paragraph(fmt::format("{} of slip, at {} to {} mm³/s. What follows holds between those flows.",
                               counted(rows.size(), "row"), spoken(least->row.flow_mm3_per_s, 2),
                               spoken(most->row.flow_mm3_per_s, 2)),
                   Tone::plain, style);
}

std::string values(const Calibration& calibration, const TextStyle& style) {
  const MeltZoneFit& fit = calibration.fit;
  std::string out;
  out += hanging("  αL                ", in_words(fit.alpha_l_mm3_per_s, 3, "mm³/s"), style.width);
  out += hanging("  flow temperature  ", in_words(fit.flow_temperature_c, 1, "°C"), style.width);
  out += hanging("  melt zone         ", in_words(calibration.melt_zone_mm(), 1, "mm"), style.width);
  return out;
}

std::string length_basis(const Calibration& calibration, const TextStyle& style) {
  const Setting<double>& diffusivity = calibration.diffusivity_mm2_per_s;
  const std::string value = fmt::format("{} mm²/s", spoken(*diffusivity, 4));
  if (diffusivity.stated()) {
    return paragraph(
        fmt::format("The length rests on the diffusivity, {}, taken as exact: {}.", value, shown(diffusivity.because)),
        Tone::plain, style);
  }
  return paragraph(
      fmt::format("The length rests on an assumption, {} as of {}. State yours: --set filament.material=abs, "
                  "or --set filament.diffusivity_mm2_per_s=0.106. αL and the flow temperature do not "
                  "depend on it.",
                  value, shown(*calibration.material)),
      Tone::note, style);
}

std::string basis(const Calibration& calibration, const TextStyle& style) {
  const MeltZoneFit& fit = calibration.fit;
  std::string out = paragraph(
      fmt::format("95 % intervals from the scatter of the rows, {} °C at the core with {} of freedom; both values move "
                  "together (correlation {}). αL is thermal diffusivity times length of the melt zone; filament enters "
                  "at {} °C.",
                  spoken(fit.scatter_c, 1), counted(fit.degrees_of_freedom, "degree"), fixed(fit.correlation, 2),
                  spoken(fit.inlet_c, 0)),
      Tone::plain, style);
  return out + '\n' + length_basis(calibration, style);
}

std::string rows_table(const MeltZoneFit& fit, const TextStyle& style) {
  const bool wide = style.width >= 64;
  Table table;
  table.rows.push_back({"line", wide ? "flow mm³/s" : "mm³/s", "slip °C", "curve °C"});
  if (wide) table.rows.back().push_back("core °C");
  table.rows.back().push_back(wide ? "residual °C" : "off °C");
  for (const FittedRow& one : fit.rows) {
    std::vector<std::string> cells{std::to_string(one.row.line), spoken(one.row.flow_mm3_per_s, 2),
                                   spoken(one.row.nozzle_c, 1), fixed(one.curve_c, 1)};
    if (wide) cells.push_back(fixed(one.core_c, 1));
    cells.push_back(fixed(one.residual_c, 1));
    table.rows.push_back(std::move(cells));
  }
  return table.as_lines();
}

std::string doubts(const Calibration& calibration, const TextStyle& style) {
  std::string out;
  for (const FittedRow& one : calibration.fit.rows) {
    if (!one.stands_apart) continue;
    out += paragraph(fmt::format("Line {} stands apart from the others, {} °C off: measure it again.", one.row.line,
                                 fixed(one.residual_c, 1)),
                     Tone::warning, style);
  }
  if (calibration.fit.scatter_c > poor_scatter_c) {
    out += paragraph(
        "The rows follow the curve badly. Was it the melt each time, and not the drive gear, a tangled spool or a "
        "worn nozzle? Take the values as a first guess.",
        Tone::warning, style);
  }
  const double zone_mm = calibration.melt_zone_mm().value;
  if (zone_mm < shortest_zone_mm || zone_mm > longest_zone_mm) {
    out += paragraph(
        fmt::format("A melt zone of {} mm is hardly built: check that the flow is in mm³/s, and the material.",
                    spoken(zone_mm, 1)),
        Tone::warning, style);
  }
  return out.empty() ? out : '\n' + out;
}

}  // namespace

std::string calibration_as_text(const Calibration& calibration, const TextStyle& style) {
  std::string out = head(calibration, style) + '\n' + values(calibration, style);
  if (!style.quiet) out += '\n' + basis(calibration, style);
  out += doubts(calibration, style);
  if (!style.quiet) {
    out += '\n' + rows_table(calibration.fit, style);
    out += '\n' + slip_plot(calibration.fit, style.width, style.ascii);
  }
  return out + '\n' + paragraph("For beadwise.toml:", Tone::plain, style) + '\n' + calibration_as_toml(calibration);
}

}  // namespace beadwise
