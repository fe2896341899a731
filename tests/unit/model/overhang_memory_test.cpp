#include "model/overhang_memory.hpp"

#include <doctest/doctest.h>

#include "support/near.hpp"

namespace beadwise::tests {
namespace {

TEST_CASE("an overhang is remembered where it hung, at the heights that are asked for") {
  OverhangMemory memory;
  memory.note({10, 10}, 1.0, 0.4);
  memory.note({10.1, 10.1}, 1.0, 0.5);
  CHECK(near(memory.at({10.2, 10}, 0.8, 1.2), 0.5, 1e-6));
  CHECK(memory.at({12, 10}, 0.8, 1.2) == 0);
  CHECK(memory.at({10, 10}, 0.8, 1.0) == 0);
  CHECK(memory.at({10, 10}, 1.1, 1.2) == 0);
}

TEST_CASE("the height before stays known while the next one is noted") {
  OverhangMemory memory;
  memory.note({10, 10}, 1.0, 0.4);
  memory.note({10, 10}, 1.2, 0.8);
  CHECK(near(memory.at({10, 10}, 0.9, 1.2), 0.4, 1e-6));
  CHECK(near(memory.at({10, 10}, 1.1, 1.4), 0.8, 1e-6));
  memory.note({10, 10}, 1.4, 0.2);
  CHECK(near(memory.at({10, 10}, 0.9, 1.6), 0.8, 1e-6));
}

}  // namespace
}  // namespace beadwise::tests
