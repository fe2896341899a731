#include "support/files.hpp"

#include <algorithm>
#include <fstream>
#include <iterator>
#include <stdexcept>

namespace beadwise::tests {

std::filesystem::path source_folder() { return BEADWISE_SOURCE_DIR; }

std::string read_file(const std::filesystem::path& path) {
  std::ifstream stream(path, std::ios::binary);
  if (!stream) throw std::runtime_error("cannot read " + path.string());
  return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

std::vector<std::filesystem::path> files_below(const std::filesystem::path& folder,
                                               const std::vector<std::string>& extensions) {
  std::vector<std::filesystem::path> found;
  if (!std::filesystem::is_directory(folder)) return found;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(folder)) {
    const std::string extension = entry.path().extension().string();
    const bool wanted = std::find(extensions.begin(), extensions.end(), extension) != extensions.end();
    if (entry.is_regular_file() && wanted) found.push_back(entry.path());
  }
  std::sort(found.begin(), found.end());
  return found;
}

}  // namespace beadwise::tests
