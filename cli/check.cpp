#include <algorithm>

#include "beadwise/report.hpp"
#include "cli/check_names.hpp"
#include "cli/commands.hpp"
#include "cli/jobs.hpp"
#include "cli/output.hpp"
#include "cli/terminal.hpp"

namespace beadwise::cli {

namespace {

// Every layer of a long job may be asked for: a page that a browser still opens well.
constexpr std::size_t full_layer_bytes = 40'000'000;

HtmlOptions html_options(const Options& options) {
  return options.analyse.report_data == ReportData::full ? HtmlOptions{.layer_bytes = full_layer_bytes} : HtmlOptions{};
}

std::string written_as(Format format, const std::vector<FileReport>& reports, const TextStyle& style,
                       const Options& options) {
  switch (format) {
    case Format::json:
      return check_as_json(reports);
    case Format::sarif:
      return check_as_sarif(reports);
    case Format::junit:
      return check_as_junit(reports, options.gate);
    case Format::html:
      return check_as_html(reports, html_options(options));
    case Format::markdown:
      return check_as_markdown(reports);
    case Format::text:
    case Format::csv:
      break;
  }
  return check_as_text(reports, style);
}

bool reaches(const std::vector<FileReport>& reports, Severity gate) {
  return std::any_of(reports.begin(), reports.end(), [&](const FileReport& report) {
    return std::any_of(report.findings.begin(), report.findings.end(),
                       [&](const Finding& finding) { return finding.severity >= gate && !finding.accepted; });
  });
}

}  // namespace

ExitCode run_check(const Options& options) {
  want_checks(options.analyse.only, options.analyse.skip);
  const Jobs jobs = find_jobs(options);
  if (jobs.sources.empty()) return jobs.status;
  const std::vector<FileReport> reports = read_jobs(jobs, options);
  for (const OutFile& out : options.outs)
    write_file(out.path, written_as(out.format, reports, file_style(options), options));
  write_standard_output(written_as(options.format, reports, terminal_style(options), options));
  const bool found = options.gate && reaches(reports, *options.gate);
  return std::max({jobs.status, reading_status(reports, options), found ? ExitCode::found : ExitCode::good});
}

}  // namespace beadwise::cli
