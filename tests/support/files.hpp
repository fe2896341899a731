#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace beadwise::tests {

/// The folder that the sources were built from.
std::filesystem::path source_folder();

/// All bytes of a file; throws std::runtime_error where it cannot be read.
std::string read_file(const std::filesystem::path& path);

/// The files below a folder whose name ends in one of `extensions`, in order of path; none where there is no folder.
std::vector<std::filesystem::path> files_below(const std::filesystem::path& folder,
                                               const std::vector<std::string>& extensions);

}  // namespace beadwise::tests
