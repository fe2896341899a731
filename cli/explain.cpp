#include "beadwise/report.hpp"
#include "cli/check_names.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/terminal.hpp"

namespace beadwise::cli {

ExitCode run_explain(const Options& options) {
  write_standard_output(page_as_text(check_called(options.check).page, terminal_style(options)));
  return ExitCode::good;
}

}  // namespace beadwise::cli
