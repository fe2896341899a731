#pragma once

#include <string>

#include "beadwise/report.hpp"

/// Findings of a plate of the orchard as checks would hand them over, and reports of them.

/// A finding with one place at X x, Y y, Z 2; fingerprints are given by `orchard_report`.
inline beadwise::Finding orchard_finding(std::string check, std::string key, double x_mm, double y_mm, double value,
                                         double limit, beadwise::Severity severity = beadwise::Severity::warning) {
  beadwise::Finding finding;
  finding.check = std::move(check);
  finding.key = std::move(key);
  finding.severity = severity;
  finding.what = "Something at X " + std::to_string(x_mm) + ".";
  finding.measured =
      beadwise::Measured{.value = value, .limit = limit, .unit = "mm", .limit_from = beadwise::Origin::built_in};
  finding.places.add(
      {.line = 10, .layer = 5, .x_mm = x_mm, .y_mm = y_mm, .z_mm = 2, .has_position = true, .value = value});
  return finding;
}

/// A report of these findings, of a job that lies in X 10 to 110, Y 20 to 80.
inline beadwise::FileReport orchard_report(std::string file, const std::vector<beadwise::Finding>& findings) {
  beadwise::FileReport report;
  report.file = std::move(file);
  report.sha256 = std::string(64, 'b');
  beadwise::JobFigures job;
  job.layers = 20;
  job.duration_s = 600;
  job.filament_fed_mm = 1000;
  job.retractions = 40;
  job.bounds_x_mm = {10, 110};
  job.bounds_y_mm = {20, 80};
  job.bounds_z_mm = {0.2, 4};
  report.job = job;
  beadwise::Findings all;
  for (const beadwise::Finding& finding : findings) all.add(finding);
  report.findings = all.take();
  for (const char* check : {"dense-retraction", "low-travel", "open-travel", "small-footprint", "thin-stroke",
                            "unread-line", "unsupported-bead"}) {
    beadwise::CheckState state{check, true, std::nullopt, 0};
    for (const beadwise::Finding& finding : report.findings) state.findings += finding.check == check ? 1U : 0U;
    report.checks.push_back(state);
  }
  return report;
}
