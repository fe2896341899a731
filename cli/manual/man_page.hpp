#pragma once

#include <string>

#include "cli/manual/command_tree.hpp"

namespace beadwise::cli {

/// The page of a command in the man(7) language, without a date: the same table gives the same bytes. `root` is the
/// program, for what to see also.
std::string man_page(const CommandRow& command, const CommandRow& root);

}  // namespace beadwise::cli
