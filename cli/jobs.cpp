#include "cli/jobs.hpp"

#include <algorithm>
#include <utility>

#include "beadwise/analyse.hpp"
#include "beadwise/error.hpp"
#include "cli/output.hpp"
#include "cli/progress.hpp"

namespace beadwise::cli {

Jobs find_jobs(const Options& options) {
  if (std::count(options.files.begin(), options.files.end(), "-") > 1) {
    throw Error(ErrorKind::usage, "", 0, 0, "Standard input can be read only once: give `-` only once.");
  }
  Jobs jobs;
  for (const std::string& argument : options.files) {
    try {
      std::vector<Source> found = sources_from_arguments({argument});
      std::move(found.begin(), found.end(), std::back_inserter(jobs.sources));
    } catch (const Error& error) {
      complain(error.what());
      jobs.status = worse(jobs.status, exit_code_of(error.kind()));
    }
  }
  return jobs;
}

std::vector<FileReport> read_jobs(const Jobs& jobs, const Options& options) {
  Progress progress;
  AnalyseOptions analyse = options.analyse;
  analyse.progress = progress.callback();
  return analyse_all(jobs.sources, analyse);
}

ExitCode reading_status(const std::vector<FileReport>& reports, const Options& options) {
  ExitCode status = ExitCode::good;
  for (const FileReport& report : reports) {
    if (!report.failure) continue;
    status = ExitCode::not_readable;
    if (options.format != Format::text) complain(report.file + ": " + *report.failure);
  }
  return status;
}

}  // namespace beadwise::cli
