#include "model/layer_stack.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "support/print.hpp"
#include "support/stacked.hpp"

using namespace beadwise;
using beadwise::tests::for_each_stack;
using beadwise::tests::print;
using beadwise::tests::square;

namespace {

struct Seen {
  std::uint32_t layer = 0;
  std::vector<std::uint32_t> below;
  std::vector<std::uint32_t> above;
};

std::vector<Seen> seen_in(const std::string& gcode) {
  std::vector<Seen> all;
  for_each_stack(gcode, [&](const LayerStack& stack) {
    Seen seen{.layer = stack.layer.layer.number, .below = {}, .above = {}};
    for (const IndexedLayer* one : stack.below) seen.below.push_back(one->layer.number);
    for (const IndexedLayer* one : stack.above) seen.above.push_back(one->layer.number);
    all.push_back(seen);
  });
  return all;
}

std::string layer_at(double z, const std::string& x) {
  return "G0 X" + x + " Y100 Z" + std::to_string(z) +
         "\nG91\nG1 X10 E0.4\nG1 Y10 E0.4\nG1 X-10 E0.4\nG1 Y-10 E0.4\nG90\nM83\n";
}

}  // namespace

TEST_CASE("a layer is judged with the layer below and the layer above") {
  const auto seen = seen_in(print()
                                .start()
                                .layer(0.2)
                                .perimeter(square(20))
                                .layer(0.2)
                                .perimeter(square(20))
                                .layer(0.2)
                                .perimeter(square(20))
                                .finish()
                                .gcode());
  REQUIRE(seen.size() == 3);
  CHECK(seen[0].below.empty());
  CHECK(seen[0].above == std::vector<std::uint32_t>{2});
  CHECK(seen[1].below == std::vector<std::uint32_t>{1});
  CHECK(seen[1].above == std::vector<std::uint32_t>{3});
  // Within a layer height more than its own: a hollow one layer deep still carries.
  CHECK(seen[2].below == std::vector<std::uint32_t>{2, 1});
  CHECK(seen[2].above.empty());
}

TEST_CASE("objects printed one after another do not lie on each other") {
  std::string job = "M83\n";
  for (const char* x : {"50", "150"})
    for (const double z : {0.2, 0.4, 0.6, 0.8}) job += layer_at(z, x);
  const auto seen = seen_in(job);
  REQUIRE(seen.size() == 8);
  CHECK(seen[3].above.empty());
  CHECK(seen[4].below.empty());
  CHECK(seen[4].above == std::vector<std::uint32_t>{6});
}

TEST_CASE("a layer of support in between hides neither what is below nor what is above") {
  std::string job = "M83\n";
  // The part at 0.2, 0.4, 0.6; support of its own height at 0.3 beside it.
  job += layer_at(0.2, "50") + layer_at(0.3, "80") + layer_at(0.4, "50") + layer_at(0.6, "50");
  const auto seen = seen_in(job);
  REQUIRE(seen.size() == 4);
  CHECK(seen[0].above == std::vector<std::uint32_t>{2, 3});
  CHECK(seen[2].below == std::vector<std::uint32_t>{2, 1});
}

TEST_CASE("places are carried by the plate or by what lies below, covered by what lies above") {
  std::vector<bool> carried;
  std::vector<bool> covered;
  const std::string job = print()
                              .start()
                              .layer(0.2)
                              .perimeter(square(20, {100, 100}))
                              .layer(0.2)
                              .perimeter(square(20, {110, 100}))
                              .finish()
                              .gcode();
  for_each_stack(job, [&](const LayerStack& stack) {
    carried.push_back(stack.carried({125, 100}));
    covered.push_back(stack.covered({125, 100}));
    carried.push_back(stack.carried({115, 100}));
    covered.push_back(stack.covered({115, 100}));
  });
  CHECK(carried == std::vector<bool>{true, true, false, true});
  CHECK(covered == std::vector<bool>{true, true, false, false});
}
