// The grammar and the plain reader read every line alike, and the grammar the same whatever the size of the blocks.

#include <cstdint>
#include <string>
#include <string_view>

#include "fuzz/support/demand.hpp"
#include "support/plain_reader.hpp"

using namespace beadwise;

namespace {
constexpr std::size_t largest_input = 1 << 20;
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view job(reinterpret_cast<const char*>(data), size);
  if (size == 0 || size > largest_input || job.starts_with("\x1F\x8B") || job == "\xEF\xBB\xBF") return 0;
  for (const std::size_t block_bytes : {std::size_t{1}, std::size_t{61}, size}) {
    const std::string difference = tests::reads_otherwise(job, block_bytes);
    fuzz::demand(difference.empty(), difference);
  }
  return 0;
}
