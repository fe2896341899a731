#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "report/background_text.hpp"
#include "report/finding_text.hpp"
#include "report/paint.hpp"
#include "report/spoken.hpp"
#include "report/text_strip.hpp"
#include "report/verdict_text.hpp"
#include "report/wrap.hpp"

namespace beadwise {

namespace {

constexpr std::size_t screen_lines = 23;  // of a terminal of 24 lines; the last one is the prompt's
constexpr std::size_t names_listed = 6;

Tone verdict_tone(const FileReport& report) {
  const std::string_view verdict = report.verdict();
  if (verdict == "error" || verdict == "unreadable") return Tone::error;
  if (verdict == "warning") return Tone::warning;
  return verdict == "note" ? Tone::note : Tone::good;
}

std::string head(const FileReport& report, std::string_view before_name, const TextStyle& style) {
  const std::string name = std::string(before_name) + shown(report.file);
  std::string out = painted(name, Tone::strong, style.color) + '\n';
  out += paragraph(verdict_sentence(report), verdict_tone(report), style);
  if (report.job && !style.quiet) out += paragraph(job_sentence(*report.job), Tone::plain, style);
  return out;
}

/// A blank line before each.
std::string findings_in_full(const FileReport& report, const TextStyle& style) {
  const std::vector<ObjectFigures> on_plate = named_objects(report.objects);
  std::string out;
  std::size_t number = 0;
  for (const Finding& finding : report.findings) {
    ++number;
    if (style.quiet && (finding.accepted || finding.severity < Severity::warning)) continue;
    out += '\n' + (finding.accepted ? finding_in_short(number, finding, style)
                                    : finding_in_full(number, finding, on_plate, style));
  }
  return out;
}

std::string one_file(const FileReport& report, const TextStyle& style) {
  std::string top = head(report, "", style) + findings_in_full(report, style);
  if (style.quiet) return top;
  top += flow_strip_text(report, style);
  const bool must_fit = report.findings.empty() && !report.failure;
  std::string out;
  for (const Detail detail : {Detail::full, Detail::values, Detail::terse}) {
    out = top + background(report, detail, style);
    const auto lines = static_cast<std::size_t>(std::count(out.begin(), out.end(), '\n'));
    if (!must_fit || lines <= screen_lines) break;
  }
  return out;
}

/// One of several: the notes in short, and what was assumed left to the report of the file alone.
std::string one_of_several(const FileReport& report, std::string_view before_name, const TextStyle& style) {
  const std::vector<ObjectFigures> on_plate = named_objects(report.objects);
  std::string out = head(report, before_name, style);
  std::size_t number = 0;
  for (const Finding& finding : report.findings) {
    ++number;
    if (finding.severity >= Severity::warning && !finding.accepted) {
      out += '\n' + finding_in_full(number, finding, on_plate, style);
    } else if (!style.quiet) {
      out += '\n' + finding_in_short(number, finding, style);
    }
  }
  return out;
}

std::string summary_line(std::span<const FileReport> reports, std::string_view verdict, Tone tone,
                         const TextStyle& style) {
  std::vector<std::string> names;
  for (const FileReport& report : reports) {
    if (report.verdict() == verdict) names.push_back(shown(report.file));
  }
  if (names.empty()) return {};
  const std::string label =
      fmt::format("  {}{}  ", left_aligned(verdict, 11), right_aligned(std::to_string(names.size()), 4));
  std::string rest;
  if (names.size() > names_listed) {
    rest = fmt::format(" and {} more", names.size() - names_listed);
    names.resize(names_listed);
  }
  std::string out = hanging(label, fmt::format("{}{}", fmt::join(names, ", "), rest), style.width);
  out.replace(0, label.size(), painted(label, tone, style.color));
  return out;
}

std::string summary(std::span<const FileReport> reports, const TextStyle& style) {
  std::string out = paragraph(fmt::format("All {}, by the worst found in each", counted(reports.size(), "file")),
                              Tone::strong, style);
  const std::array<std::pair<std::string_view, Tone>, 5> verdicts = {{{"unreadable", Tone::error},
                                                                      {"error", Tone::error},
                                                                      {"warning", Tone::warning},
                                                                      {"note", Tone::note},
                                                                      {"clean", Tone::good}}};
  for (const auto& [verdict, tone] : verdicts) out += summary_line(reports, verdict, tone, style);
  if (!style.quiet) out += paragraph("What was assumed about a file: beadwise check FILE alone.", Tone::plain, style);
  return out;
}

}  // namespace

std::string check_as_text(std::span<const FileReport> reports, const TextStyle& style) {
  if (reports.size() == 1) return one_file(reports.front(), style);
  std::string out;
  std::size_t number = 0;
  for (const FileReport& report : reports) {
    const std::string before_name = fmt::format("File {} of {}: ", ++number, reports.size());
    out += one_of_several(report, before_name, style) + '\n';
  }
  return out + summary(reports, style);
}

}  // namespace beadwise
