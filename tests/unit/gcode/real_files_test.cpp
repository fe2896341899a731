#include <doctest/doctest.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include "beadwise/error.hpp"
#include "one_line.hpp"
#include "text/block_reader.hpp"

namespace beadwise::tests {

namespace {

std::vector<std::filesystem::path> real_files() {
  std::vector<std::filesystem::path> paths;
  const char* const folder = std::getenv("BEADWISE_REAL");
  if (folder == nullptr) {
    MESSAGE("BEADWISE_REAL names no folder with sliced files: nothing is tried");
    return paths;
  }
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.path().extension() == ".gcode" && entry.file_size() > 0) paths.push_back(entry.path());
  }
  std::sort(paths.begin(), paths.end());
  REQUIRE_FALSE(paths.empty());
  return paths;
}

struct Count {
  std::uint64_t next_offset = 0;
  std::uint64_t lines = 0;
  std::uint64_t words = 0;
  std::size_t hash = 0;
  bool operator==(const Count&) const = default;
};

void count_line(const Line& line, Count& count) {
  ++count.lines;
  count.words += line.words.size();
  count.hash = count.hash * 31 + std::hash<std::string>()(told(line));
}

Count count_lines(const std::filesystem::path& path, std::size_t block_bytes) {
  BlockReader reader(Source::file(path), block_bytes);
  Block block;
  ParsedBlock parsed;
  Count count;
  while (reader.next(block)) {
    if (count.lines == 0) count.next_offset = block.offset;  // a byte-order mark
    REQUIRE(block.offset == count.next_offset);
    REQUIRE(block.first_line == count.lines + 1);
    parse_block(block, parsed);
    for (std::size_t i = 0; i < parsed.size(); ++i) {
      REQUIRE(parsed.line(i).number == count.lines + 1);
      count_line(parsed.line(i), count);
    }
    count.next_offset += parsed.bytes().size();
  }
  CHECK(reader.bytes() == count.next_offset);
  CHECK(reader.lines() == count.lines);
  return count;
}

}  // namespace

TEST_CASE("of a real file no byte and no line is lost, and it reads the same in blocks of any size") {
  for (const auto& path : real_files()) {
    CAPTURE(path);
    const Count count = count_lines(path, BlockReader::default_block_bytes);
    CHECK(count.next_offset == std::filesystem::file_size(path));
    CHECK(count == count_lines(path, 1));
    CHECK(count == count_lines(path, 997));
  }
}

}  // namespace beadwise::tests
