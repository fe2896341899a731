#pragma once

#include <string>

#include "cli/manual/command_tree.hpp"

namespace beadwise::cli {

/// What completes the commands, options and their values below `root` in a shell. A name of a file is completed as the
/// shell does it; behind a comma or an equals sign the rest is.
std::string bash_completion(const CommandRow& root);
std::string zsh_completion(const CommandRow& root);
std::string fish_completion(const CommandRow& root);

}  // namespace beadwise::cli
