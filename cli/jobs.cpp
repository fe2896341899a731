#include "cli/jobs.hpp"

#include <sys/resource.h>

#include <algorithm>
#include <filesystem>
#include <system_error>
#include <thread>
#include <utility>

#include "beadwise/analyse.hpp"
#include "beadwise/error.hpp"
#include "cli/output.hpp"
#include "cli/progress.hpp"

namespace beadwise::cli {

namespace {

// Of those that a process may have open, some are the program's own; a thread has its job open, and what it keeps of
// it.
constexpr rlim_t other_files = 16;
constexpr rlim_t files_of_thread = 2;

/// As many threads as were asked for, or as can have their files open.
unsigned threads_for_files(unsigned asked) {
  const unsigned wanted = asked > 0 ? asked : std::max(1U, std::thread::hardware_concurrency());
  rlimit limit{};
  if (::getrlimit(RLIMIT_NOFILE, &limit) != 0 || limit.rlim_cur == RLIM_INFINITY) return wanted;
  const rlim_t most = limit.rlim_cur > other_files ? (limit.rlim_cur - other_files) / files_of_thread : 1;
  return static_cast<unsigned>(std::clamp<rlim_t>(most, 1, wanted));
}

void refuse_to_replace_jobs(const std::vector<Source>& jobs, const Options& options) {
  std::vector<std::filesystem::path> outputs;
  for (const OutFile& out : options.outs) outputs.push_back(out.path);
  if (options.write_baseline) outputs.push_back(*options.write_baseline);
  std::error_code ignored;
  for (const std::filesystem::path& output : outputs) {
    if (!std::filesystem::is_regular_file(output, ignored)) continue;
    for (const Source& job : jobs)
      if (job.kind == Source::Kind::file && std::filesystem::equivalent(output, job.path, ignored))
        throw Error(ErrorKind::usage, output.string(), 0, 0,
                    "is a job to be read and would be replaced: write to another file.");
  }
}

}  // namespace

std::vector<Source> sources_of(const std::string& argument, const Options& options) {
  std::vector<Source> sources = sources_from_arguments({argument});
  for (Source& source : sources) source.max_bytes = options.max_bytes;
  return sources;
}

Jobs find_jobs(const Options& options) {
  if (std::count(options.files.begin(), options.files.end(), "-") > 1) {
    throw Error(ErrorKind::usage, "", 0, 0, "Standard input can be read only once: give `-` only once.");
  }
  Jobs jobs;
  for (const std::string& argument : options.files) {
    try {
      std::vector<Source> found = sources_of(argument, options);
      std::move(found.begin(), found.end(), std::back_inserter(jobs.sources));
    } catch (const Error& error) {
      complain(error.what());
      jobs.status = worse(jobs.status, exit_code_of(error.kind()));
    }
  }
  refuse_to_replace_jobs(jobs.sources, options);
  return jobs;
}

std::vector<FileReport> read_jobs(const Jobs& jobs, const Options& options) {
  Progress progress;
  AnalyseOptions analyse = options.analyse;
  analyse.progress = progress.callback();
  analyse.threads = threads_for_files(analyse.threads);
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
