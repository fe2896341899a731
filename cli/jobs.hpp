#pragma once

#include <string>
#include <vector>

#include "beadwise/report.hpp"
#include "beadwise/source.hpp"
#include "cli/exit_code.hpp"
#include "cli/options.hpp"

namespace beadwise::cli {

/// The jobs that were named and how it went so far.
struct Jobs {
  std::vector<Source> sources;
  ExitCode status = ExitCode::good;
};

/// The jobs that one argument names, to be read as the options say. Throws what `sources_from_arguments` throws.
std::vector<Source> sources_of(const std::string& argument, const Options& options);

/// Finds the jobs. An argument that names none, such as an empty folder, is complained of and does not keep the others
/// from being read. Throws Error{usage} where standard input is named twice or an output would replace a job.
Jobs find_jobs(const Options& options);

/// Reads all jobs, telling the terminal how far it is. Throws what `analyse_all` throws.
std::vector<FileReport> read_jobs(const Jobs& jobs, const Options& options);

/// `not_readable` where a file could not be read; complains of it where the report goes elsewhere than to a person.
ExitCode reading_status(const std::vector<FileReport>& reports, const Options& options);

}  // namespace beadwise::cli
