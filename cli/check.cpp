#include <algorithm>

#include "beadwise/baseline.hpp"
#include "beadwise/report.hpp"
#include "cli/check_names.hpp"
#include "cli/commands.hpp"
#include "cli/input.hpp"
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

std::optional<Baseline> baseline_of(const Options& options) {
  if (!options.baseline) return std::nullopt;
  const InputFile file{.path = options.baseline->string(),
                       .most_bytes = max_baseline_bytes,
                       .contents = "a baseline",
                       .trouble = ErrorKind::usage};
  return read_baseline(bytes_of(file), file.name());
}

/// A baseline without one of the files would let its findings be forgotten.
void write_baseline(const std::filesystem::path& path, const std::vector<FileReport>& reports) {
  const bool all_read =
      std::none_of(reports.begin(), reports.end(), [](const FileReport& report) { return report.failure.has_value(); });
  if (all_read) return write_file(path, baseline_as_json(reports));
  complain(path.string() + ": not written, since not every file could be read to its end.");
}

}  // namespace

ExitCode run_check(const Options& options) {
  want_checks(options.analyse.only, options.analyse.skip);
  const Jobs jobs = find_jobs(options);
  if (jobs.sources.empty()) return jobs.status;
  const std::optional<Baseline> baseline = baseline_of(options);
  std::vector<FileReport> reports = read_jobs(jobs, options);
  if (baseline) accept_known(*baseline, reports);
  for (const OutFile& out : options.outs)
    write_file(out.path, written_as(out.format, reports, file_style(options), options));
  if (options.write_baseline) write_baseline(*options.write_baseline, reports);
  write_standard_output(written_as(options.format, reports, terminal_style(options), options));
  const bool found = options.gate && reaches(reports, *options.gate);
  return std::max({jobs.status, reading_status(reports, options), found ? ExitCode::found : ExitCode::good});
}

}  // namespace beadwise::cli
