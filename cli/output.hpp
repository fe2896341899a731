#pragma once

#include <filesystem>
#include <string_view>

namespace beadwise::cli {

/// Writes to standard output. A reader that has gone away ends it quietly; throws Error{usage} where it cannot be
/// written, on a full disk for one.
void write_standard_output(std::string_view text);

/// Writes a file so that nobody ever sees half of it: under another name beside it, then renamed. Throws Error{usage}
/// where that fails.
void write_file(const std::filesystem::path& path, std::string_view text);

/// One sentence to standard error, after the program's name.
void complain(std::string_view sentence);

}  // namespace beadwise::cli
