#include "beadwise/check.hpp"

#include "beadwise/report.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/terminal.hpp"

namespace beadwise::cli {

ExitCode run_checks(const Options& options) {
  const auto checks = all_checks();
  write_standard_output(options.format == Format::json ? checks_as_json(checks)
                                                       : checks_as_text(checks, terminal_style(options)));
  return ExitCode::good;
}

}  // namespace beadwise::cli
