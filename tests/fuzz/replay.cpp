// Gives a fuzzer the kept inputs one after another: files, and every file below a folder.
//
//   fuzz_line FILE|FOLDER…

#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <vector>

#include "support/files.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

namespace fs = std::filesystem;

std::vector<fs::path> inputs_of(const fs::path& given) {
  if (fs::is_regular_file(given)) return {given};
  std::vector<fs::path> found;
  if (!fs::is_directory(given)) return found;
  for (const auto& entry : fs::recursive_directory_iterator(given))
    if (entry.is_regular_file()) found.push_back(entry.path());
  return found;
}

}  // namespace

int main(int argc, char** argv) {
  std::size_t inputs = 0;
  for (int i = 1; i < argc; ++i) {
    for (const fs::path& path : inputs_of(argv[i])) {
      const std::string bytes = beadwise::tests::read_file(path);
      // Told before it is tried: where the program ends, this was the input.
      std::fprintf(stderr, "%s\n", path.c_str());
      LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
      ++inputs;
    }
  }
  std::printf("%zu inputs held\n", inputs);
  return inputs == 0 ? 1 : 0;
}
