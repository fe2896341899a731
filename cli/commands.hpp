#pragma once

#include "cli/exit_code.hpp"
#include "cli/options.hpp"

namespace beadwise::cli {

// One function per command, each in the file of its name. They throw Error for what cannot be done.
ExitCode run_check(const Options& options);
ExitCode run_measure(const Options& options);
ExitCode run_diagnose(const Options& options);
ExitCode run_compare(const Options& options);
ExitCode run_calibrate(const Options& options);
ExitCode run_explain(const Options& options);
ExitCode run_checks(const Options& options);
ExitCode run_profile_show(const Options& options);
ExitCode run_profile_new(const Options& options);
ExitCode run_profile_schema(const Options& options);

}  // namespace beadwise::cli
