// A program of its own, because it counts what the whole program allocates.

#include <doctest/doctest.h>

#include <cstdlib>
#include <new>
#include <string>

#include "gcode/parse_block.hpp"

namespace {
std::size_t allocations = 0;
}  // namespace

void* operator new(std::size_t size) {
  ++allocations;
  void* const memory = std::malloc(size == 0 ? 1 : size);
  if (memory == nullptr) throw std::bad_alloc();
  return memory;
}
void operator delete(void* memory) noexcept { std::free(memory); }
void operator delete(void* memory, std::size_t) noexcept { std::free(memory); }

namespace beadwise {

TEST_CASE("once its storage has grown, a reader allocates nothing for a million lines") {
  const std::string lines =
      "G1 X10.123 Y20.456 E0.12345 F1800\nN7 G1 X1.4210854715202004e-14 Y9.524999999999999 *99\n"
      "; a comment\nM117 Layer 3 of 10\nSET_LIMIT ACCEL=1000 NAME=\"a b\"\n@word text\nG1 X{x} Y[1+2] Z#3 foo (c)\n"
      "heat the bed to 60\nM84 XYE\nGOX100\n";
  std::string text;
  for (int i = 0; i < 1000; ++i) text += lines;
  Block block;
  ParsedBlock parsed;
  std::size_t read = 0;
  std::size_t allocated = 0;
  for (int i = 0; i < 103; ++i) {
    block.bytes.assign(text);
    const std::size_t before = allocations;
    parse_block(block, parsed);
    if (i < 3) continue;  // two sets of storage take turns, and each grows once
    allocated += allocations - before;
    read += parsed.size();
  }
  CHECK(read == 1'000'000);
  CHECK(allocated == 0);
  const std::size_t before = allocations;
  CHECK(std::string(100, 'x').size() == 100);
  CHECK(allocations > before);  // the count counts
}

}  // namespace beadwise
