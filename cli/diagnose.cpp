#include "beadwise/error.hpp"
#include "cli/commands.hpp"

namespace beadwise::cli {

ExitCode run_diagnose(const Options&) { throw Error(ErrorKind::usage, "", 0, 0, "This command cannot be run yet."); }

}  // namespace beadwise::cli
