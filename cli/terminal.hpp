#pragma once

#include "beadwise/report.hpp"
#include "cli/options.hpp"

namespace beadwise::cli {

/// Whether standard output is a terminal.
bool on_terminal();

/// How text on standard output is laid out: as wide as the terminal, 80 columns where there is none; colour as asked
/// for.
TextStyle terminal_style(const Options& options);

/// How text in a file is laid out, whatever the terminal is like.
TextStyle file_style(const Options& options);

}  // namespace beadwise::cli
