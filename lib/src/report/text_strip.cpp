#include "report/text_strip.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <vector>

#include "report/background_text.hpp"
#include "report/spoken.hpp"

namespace beadwise {

namespace {

constexpr std::size_t most_columns = 72;
constexpr std::string_view indent = "  ";

/// From nothing to all, in eighths.
constexpr std::array<std::string_view, 9> blocks = {" ", "▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"};
constexpr std::array<std::string_view, 9> signs = {" ", ".", ":", "-", "=", "+", "*", "%", "#"};

/// The worst of those that somebody has to do something about: it stands first.
const Finding* about_flow(const FileReport& report) {
  const auto found = std::find_if(report.findings.begin(), report.findings.end(), [](const Finding& finding) {
    return !finding.accepted && finding.measured && finding.measured->unit == "mm³/s";
  });
  return found == report.findings.end() ? nullptr : &*found;
}

/// The most in each of so many even parts of the time. A step lies in every part that it touches; a part without one,
/// within a long bead, has what the part before it has.
std::vector<double> most_by_column(const std::vector<SeriesRow>& series, std::size_t columns) {
  const double end_s = series.back().start_s + series.back().step_s;
  constexpr double unknown = -1;
  std::vector<double> most(columns, unknown);
  for (const SeriesRow& row : series) {
    const double share = row.start_s / end_s * static_cast<double>(columns);
    const double share_end = (row.start_s + row.step_s) / end_s * static_cast<double>(columns);
    const auto first = std::min(static_cast<std::size_t>(share), columns - 1);
    const auto last = std::clamp(static_cast<std::size_t>(std::ceil(share_end)), first + 1, columns);
    for (std::size_t i = first; i < last; ++i) most[i] = std::max(most[i], row.most);
  }
  double before = 0;
  for (double& value : most) before = value = value == unknown ? before : value;
  return most;
}

std::string line_of_blocks(const std::vector<double>& most, double top, bool ascii) {
  std::string line(indent);
  for (const double value : most) {
    const auto eighths = static_cast<std::size_t>(std::ceil(8 * std::clamp(value / top, 0.0, 1.0)));
    line += (ascii ? signs : blocks).at(eighths);
  }
  return line;
}

std::string line_of_marks(const std::vector<double>& most, double limit, std::string_view mark) {
  std::string line(indent);
  for (const double value : most) line += value > limit ? mark : std::string_view(" ");
  return line.erase(line.find_last_not_of(' ') + 1);
}

}  // namespace

std::string flow_strip_text(const FileReport& report, const TextStyle& style) {
  const Finding* finding = about_flow(report);
  if (finding == nullptr || report.series.empty()) return {};
  const double end_s = report.series.back().start_s + report.series.back().step_s;
  const std::size_t room = style.width > indent.size() ? style.width - indent.size() : 1;
  if (!std::isfinite(end_s) || end_s <= 0) return {};
  const std::vector<double> most = most_by_column(report.series, std::min(room, most_columns));
  const double top = *std::max_element(most.begin(), most.end());
  if (!std::isfinite(top) || top <= 0) return {};

  const std::string_view unit = style.ascii ? "mm3/s" : "mm³/s";
  const std::string_view mark = style.ascii ? "^" : "▲";
  const std::string marks = line_of_marks(most, finding->measured->limit, mark);
  std::string words = fmt::format("From the start to {}, the most in each part of the time; the highest is {} {}.",
                                  spoken_duration(end_s), spoken(top, 1), unit);
  if (!marks.empty())
    words += fmt::format(" {}: beyond {} {}, the limit of {}.", mark, spoken(finding->measured->limit, 1), unit,
                         finding->check);
  return '\n' + paragraph("Flow through the melt zone", Tone::strong, style) + line_of_blocks(most, top, style.ascii) +
         '\n' + (marks.empty() ? std::string() : painted(marks, tone_of(finding->severity), style.color) + '\n') +
         paragraph(words, Tone::plain, style);
}

}  // namespace beadwise
