#include <fcntl.h>
#include <unistd.h>

#include <csignal>
#include <exception>
#include <new>
#include <variant>

#include "beadwise/error.hpp"
#include "cli/commands.hpp"
#include "cli/options.hpp"
#include "cli/output.hpp"

namespace beadwise::cli {

namespace {

ExitCode run(const Options& options) {
  switch (options.command) {
    case Command::check:
      return run_check(options);
    case Command::measure:
      return run_measure(options);
    case Command::diagnose:
      return run_diagnose(options);
    case Command::compare:
      return run_compare(options);
    case Command::calibrate:
      return run_calibrate(options);
    case Command::explain:
      return run_explain(options);
    case Command::checks:
      return run_checks(options);
    case Command::profile_show:
      return run_profile_show(options);
    case Command::profile_new:
      return run_profile_new(options);
    case Command::profile_schema:
      return run_profile_schema(options);
  }
  return ExitCode::not_done;
}

ExitCode parse_and_run(int argc, char** argv) {
  const std::variant<Options, Answer> parsed = parse_options(argc, argv);
  if (const Answer* answer = std::get_if<Answer>(&parsed)) {
    write_standard_output(answer->text);
    return ExitCode::good;
  }
  return run(std::get<Options>(parsed));
}

/// Where a standard stream is closed, the next file opened would take its place and be written to by mistake.
void hold_standard_streams() {
  for (int stream = ::open("/dev/null", O_RDONLY); stream >= 0; stream = ::open("/dev/null", O_RDONLY)) {
    if (stream <= STDERR_FILENO) continue;
    ::close(stream);
    return;
  }
}

}  // namespace

}  // namespace beadwise::cli

int main(int argc, char** argv) {
  using namespace beadwise::cli;
  hold_standard_streams();
  // A reader that goes away early is no reason to lose the exit status: writing then says EPIPE instead; and EFBIG
  // where a file may not grow any more.
  std::signal(SIGPIPE, SIG_IGN);
  std::signal(SIGXFSZ, SIG_IGN);
  ExitCode status = ExitCode::not_done;
  try {
    status = parse_and_run(argc, argv);
  } catch (const beadwise::Error& error) {
    complain(error.what());
    status = exit_code_of(error.kind());
  } catch (const std::bad_alloc&) {
    complain("There is not enough memory for this.");
    status = ExitCode::not_readable;
  } catch (const std::exception& error) {
    complain(error.what());
  }
  return static_cast<int>(status);
}
