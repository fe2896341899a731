#include "beadwise/profile.hpp"

#include <fmt/format.h>

#include "beadwise/analyse.hpp"
#include "beadwise/error.hpp"
#include "beadwise/report.hpp"
#include "cli/commands.hpp"
#include "cli/jobs.hpp"
#include "cli/output.hpp"
#include "cli/progress.hpp"
#include "cli/terminal.hpp"

namespace beadwise::cli {

namespace {

struct InUse {
  std::string file;
  Profile profile;
};

/// The profile in use for the one file of the command line.
InUse in_use(const Options& options) {
  const std::vector<Source> sources = sources_of(options.files.front(), options);
  if (sources.size() != 1) {
    throw Error(ErrorKind::usage, options.files.front(), 0, 0, "is a folder of several files; name one of them.");
  }
  Progress progress;
  AnalyseOptions analyse = options.analyse;
  analyse.progress = progress.callback();
  return {sources.front().name, profile_in_use(sources.front(), analyse)};
}

}  // namespace

ExitCode run_profile_show(const Options& options) {
  const InUse used = in_use(options);
  const std::vector<ProfileValue> values = describe(used.profile);
  write_standard_output(options.format == Format::json ? profile_as_json(used.file, values)
                                                       : profile_as_text(used.file, values, terminal_style(options)));
  return ExitCode::good;
}

ExitCode run_profile_new(const Options& options) {
  write_standard_output(profile_as_toml(in_use(options).profile));
  return ExitCode::good;
}

ExitCode run_profile_schema(const Options&) {
  write_standard_output(profile_json_schema(known_checks()));
  return ExitCode::good;
}

}  // namespace beadwise::cli
