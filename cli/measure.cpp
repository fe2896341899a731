#include "beadwise/report.hpp"
#include "cli/commands.hpp"
#include "cli/jobs.hpp"
#include "cli/output.hpp"
#include "cli/terminal.hpp"

namespace beadwise::cli {

namespace {

std::string written_as(Format format, const std::vector<FileReport>& reports, const Options& options,
                       const TextStyle& style) {
  if (options.analyse.series != Series::none) return series_as_csv(reports, options.analyse.series);
  const Per per = options.per;
  if (format == Format::json) return measure_as_json(reports, per);
  if (format == Format::csv) return measure_as_csv(reports, per);
  return measure_as_text(reports, per, style);
}

}  // namespace

ExitCode run_measure(const Options& options) {
  const Jobs jobs = find_jobs(options);
  if (jobs.sources.empty()) return jobs.status;
  const std::vector<FileReport> reports = read_jobs(jobs, options);
  for (const OutFile& out : options.outs) {
    write_file(out.path, written_as(out.format, reports, options, file_style(options)));
  }
  write_standard_output(written_as(options.format, reports, options, terminal_style(options)));
  return worse(jobs.status, reading_status(reports, options));
}

}  // namespace beadwise::cli
