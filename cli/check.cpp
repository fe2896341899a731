#include <algorithm>

#include "beadwise/report.hpp"
#include "cli/check_names.hpp"
#include "cli/commands.hpp"
#include "cli/jobs.hpp"
#include "cli/output.hpp"
#include "cli/terminal.hpp"

namespace beadwise::cli {

namespace {

std::string written_as(Format format, const std::vector<FileReport>& reports, const TextStyle& style) {
  return format == Format::json ? check_as_json(reports) : check_as_text(reports, style);
}

bool reaches(const std::vector<FileReport>& reports, Severity gate) {
  return std::any_of(reports.begin(), reports.end(), [&](const FileReport& report) {
    return std::any_of(report.findings.begin(), report.findings.end(),
                       [&](const Finding& finding) { return finding.severity >= gate; });
  });
}

}  // namespace

ExitCode run_check(const Options& options) {
  want_checks(options.analyse.only, options.analyse.skip);
  const Jobs jobs = find_jobs(options);
  if (jobs.sources.empty()) return jobs.status;
  const std::vector<FileReport> reports = read_jobs(jobs, options);
  for (const OutFile& out : options.outs) write_file(out.path, written_as(out.format, reports, file_style(options)));
  write_standard_output(written_as(options.format, reports, terminal_style(options)));
  const bool found = options.gate && reaches(reports, *options.gate);
  return std::max({jobs.status, reading_status(reports, options), found ? ExitCode::found : ExitCode::good});
}

}  // namespace beadwise::cli
