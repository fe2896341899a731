#include "report/slip_plot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>
#include <vector>

#include "report/spoken.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

struct Glyphs {
  std::string_view point, curve, wall, wall_tick, corner, floor, floor_tick, temperature, flow;
};

constexpr Glyphs in_unicode{"●", "·", "│", "┤", "└", "─", "┬", "°C at slip", "mm³/s"};
constexpr Glyphs in_ascii{"o", ".", "|", "+", "+", "-", "+", "C at slip", "mm3/s"};

constexpr std::size_t margin = 6;  // of the labels left of the wall
constexpr std::size_t rows = 14;
constexpr std::size_t most_columns = 72;
constexpr std::size_t least_columns = 20;

/// A range that is shown over so many cells.
struct Axis {
  double low = 0;
  double high = 1;
  std::size_t cells = 1;

  std::size_t cell_of(double value) const {
    const double share = (value - low) / (high - low);
    return static_cast<std::size_t>(std::lround(std::clamp(share, 0.0, 1.0) * static_cast<double>(cells - 1)));
  }
  double value_at(std::size_t cell) const {
    return low + (high - low) * static_cast<double>(cell) / static_cast<double>(cells - 1);
  }
};

/// 1, 2 or 5 times a power of ten, so that at most `most` of them fit.
double round_step(double range, double most) {
  const double least = range / most;
  const double power = std::pow(10, std::floor(std::log10(least)));
  for (const double times : {1.0, 2.0, 5.0}) {
    if (times * power >= least) return times * power;
  }
  return 10 * power;
}

std::vector<double> ticks_of(const Axis& axis, double most) {
  const double step = round_step(axis.high - axis.low, most);
  std::vector<double> ticks;
  for (double at = std::ceil(axis.low / step); at * step <= axis.high; ++at) ticks.push_back(at * step);
  return ticks;
}

Axis temperature_axis(const MeltZoneFit& fit) {
  double low = fit.rows.front().row.nozzle_c;
  double high = low;
  for (const FittedRow& one : fit.rows) {
    low = std::min(low, one.row.nozzle_c);
    high = std::max(high, one.row.nozzle_c);
  }
  // The curve may run out of the picture above, where nothing was measured.
  const double air = 0.1 * (high - low);
  for (const SlipPoint& point : fit.curve) low = std::min(low, point.nozzle_c);
  return {low - air / 2, high + air, rows};
}

class Canvas {
 public:
  Canvas(const Axis& flow, const Axis& temperature)
      : flow_(flow), temperature_(temperature), cells_(temperature.cells, std::vector<char>(flow.cells, ' ')) {}

  void put(double flow, double temperature, char mark) {
    if (temperature < temperature_.low || temperature > temperature_.high) return;
    cells_[temperature_.cell_of(temperature)][flow_.cell_of(flow)] = mark;
  }

  /// One line from the left end to the last mark.
  std::string line(std::size_t row, const Glyphs& glyphs) const {
    std::string out;
    const std::vector<char>& cells = cells_[row];
    const auto last = std::find_if(cells.rbegin(), cells.rend(), [](char mark) { return mark != ' '; });
    for (auto cell = cells.begin(); cell != last.base(); ++cell) {
      out += *cell == 'o' ? glyphs.point : *cell == '.' ? glyphs.curve : std::string_view(" ");
    }
    return out;
  }

 private:
  Axis flow_;
  Axis temperature_;
  std::vector<std::vector<char>> cells_;
};

double curve_at(const std::vector<SlipPoint>& curve, double flow) {
  const auto after =
      std::find_if(curve.begin(), curve.end(), [&](const auto& point) { return point.flow_mm3_per_s >= flow; });
  if (after == curve.end()) return curve.back().nozzle_c;
  if (after == curve.begin()) return after->nozzle_c;
  const SlipPoint& before = *(after - 1);
  const double share = (flow - before.flow_mm3_per_s) / (after->flow_mm3_per_s - before.flow_mm3_per_s);
  return before.nozzle_c + share * (after->nozzle_c - before.nozzle_c);
}

Canvas drawn(const MeltZoneFit& fit, const Axis& flow, const Axis& temperature) {
  Canvas canvas(flow, temperature);
  // Steps finer than a column, so that the curve has no gaps where it is steep.
  constexpr std::size_t per_column = 8;
  for (std::size_t i = 0; i <= flow.cells * per_column; ++i) {
    const double at = flow.high * static_cast<double>(i) / static_cast<double>(flow.cells * per_column);
    canvas.put(at, curve_at(fit.curve, at), '.');
  }
  for (const FittedRow& one : fit.rows) canvas.put(one.row.flow_mm3_per_s, one.row.nozzle_c, 'o');
  return canvas;
}

std::string walls(const Canvas& canvas, const Axis& temperature, const Glyphs& glyphs) {
  std::vector<std::string> labels(temperature.cells);
  for (const double tick : ticks_of(temperature, 5)) labels[temperature.cell_of(tick)] = spoken(tick, 1);
  std::string out;
  for (std::size_t row = temperature.cells; row-- > 0;) {
    const std::string_view wall = labels[row].empty() ? glyphs.wall : glyphs.wall_tick;
    std::string line = right_aligned(labels[row], margin) + ' ' + std::string(wall) + canvas.line(row, glyphs);
    line.erase(line.find_last_not_of(' ') + 1);
    out += line + '\n';
  }
  return out;
}

std::string floor_of(const Axis& flow, const Glyphs& glyphs) {
  std::vector<bool> ticked(flow.cells);
  std::string labels;
  for (const double tick : ticks_of(flow, static_cast<double>(flow.cells) / 8)) {
    const std::size_t cell = flow.cell_of(tick);
    ticked[cell] = true;
    labels = left_aligned(labels, margin + 2 + cell) + spoken(tick, 3);
  }
  std::string out = std::string(margin + 1, ' ') + std::string(glyphs.corner);
  for (const bool tick : ticked) out += tick ? glyphs.floor_tick : glyphs.floor;
  return out + '\n' + labels + '\n';
}

}  // namespace

std::string slip_plot(const MeltZoneFit& fit, std::size_t width, bool ascii) {
  const Glyphs& glyphs = ascii ? in_ascii : in_unicode;
  // Room for the last label, which reaches beyond its tick.
  constexpr std::size_t last_label = 4;
  const std::size_t taken = margin + 2 + last_label;
  const std::size_t columns = std::clamp(width > taken ? width - taken : 0, least_columns, most_columns);
  const Axis flow{0, fit.curve.back().flow_mm3_per_s, columns};
  const Axis temperature = temperature_axis(fit);
  std::string out = right_aligned(std::string(glyphs.temperature), margin + 4) + "   " + std::string(glyphs.point) +
                    " measured  " + std::string(glyphs.curve) + " fitted\n";
  out += walls(drawn(fit, flow, temperature), temperature, glyphs);
  out += floor_of(flow, glyphs);
  return out + std::string(margin + 2, ' ') + "flow, " + std::string(glyphs.flow) + '\n';
}

}  // namespace beadwise
