#include "report/verdict_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "report/background_text.hpp"
#include "report/spoken.hpp"

namespace beadwise {

namespace {

std::string counts_in_words(const FileReport& report) {
  std::vector<std::string> parts;
  for (const Severity severity : {Severity::error, Severity::warning, Severity::note}) {
    const auto count = static_cast<std::uint64_t>(
        std::count_if(report.findings.begin(), report.findings.end(),
                      [&](const Finding& finding) { return finding.severity == severity && !finding.accepted; }));
    if (count > 0) parts.push_back(counted(count, to_string(severity)));
  }
  return listed(parts);
}

/// "; 2 accepted"
std::string accepted_count(const FileReport& report) {
  const auto count = std::count_if(report.findings.begin(), report.findings.end(),
                                   [](const Finding& finding) { return finding.accepted.has_value(); });
  return count == 0 ? std::string() : fmt::format("; {} accepted", count);
}

std::string as_sentence(const std::string& text) { return text.ends_with('.') ? text : text + '.'; }

}  // namespace

std::string verdict_sentence(const FileReport& report) {
  if (report.failure) return "This file could not be read to its end: " + as_sentence(*report.failure);
  const std::string_view verdict = report.verdict();
  const std::string accepted = accepted_count(report);
  const std::string end = accepted + '.';
  if (verdict == "error") return "Do not print this as it is: " + counts_in_words(report) + end;
  if (verdict == "warning") return "Change it before printing if you can: " + counts_in_words(report) + end;
  if (verdict == "note")
    return "Nothing stands against printing it; " + counts_in_words(report) + " worth knowing" + end;
  const std::string ran = counted(checks_run(report), "check");
  if (!accepted.empty()) return fmt::format("Nothing but what is known was found by the {} that ran{}", ran, end);
  return fmt::format("Nothing found by the {} that ran.", ran);
}

std::string job_sentence(const JobFigures& job) {
  if (job.extruding_moves == 0) {
    return fmt::format("{}, {}; none of them feeds filament while it moves.", counted(job.lines, "line"),
                       counted(job.moves, "move"));
  }
  const std::string mass =
      job.filament_mass_g ? fmt::format(" ({} g)", spoken(*job.filament_mass_g, 1)) : std::string();
  std::string box;
  if (job.bounds_x_mm && job.bounds_y_mm && job.bounds_z_mm) {
    const auto extent = [](const Interval& interval) { return spoken(interval.high - interval.low, 1); };
    box = fmt::format(", {} × {} mm wide and up to Z {}", extent(*job.bounds_x_mm), extent(*job.bounds_y_mm),
                      spoken(job.bounds_z_mm->high, 2));
  }
  return fmt::format("{} in about {}, {} of filament{}{}.", counted(job.layers, "layer"),
                     spoken_duration(job.duration_s), spoken_length(job.filament_fed_mm), mass, box);
}

}  // namespace beadwise
