#include "checks/support/shrinkage.hpp"

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "support/near.hpp"

using namespace beadwise;
using checks::Shrinkage;
using checks::shrinkage_source;
using checks::shrinkages_of;
using tests::near;

namespace {

std::vector<Shrinkage> of(const std::string& material) {
  FilamentProfile filament;
  filament.material.value = material;
  return shrinkages_of(filament);
}

}  // namespace

TEST_CASE("frozen strain is the expansion over the way from setting down to the air") {
  // ABS 90e-6 × (107.5 − 27.5) = 0.72 %; PLA 68e-6 × (60 − 25) = 0.24 %; PC 65e-6 × (147.5 − 25.5) = 0.79 %;
  // PP 100e-6 × (110 − 25) = 0.85 %.
  CHECK(near(of("abs").front().strain(27.5), 0.0072, 1e-6));
  CHECK(near(of("pla").front().strain(25), 0.00238, 1e-6));
  CHECK(near(of("pc").front().strain(25.5), 0.00793, 1e-6));
  CHECK(near(of("pp").front().strain(25), 0.0085, 1e-6));
}

TEST_CASE("a warm chamber takes its part of the strain, and one as warm as where it sets takes all") {
  CHECK(near(of("abs").front().strain(60), 90e-6 * 47.5, 1e-9));
  CHECK(of("abs").front().strain(110) == 0);
}

TEST_CASE("a guess gives each material that fits, and what is no material gives none") {
  const std::vector<Shrinkage> three = of("abs or asa or hips");
  REQUIRE(three.size() == 3);
  CHECK(three[0].material == "abs");
  CHECK(three[2].material == "hips");
  CHECK(of("brass").empty());
  CHECK(shrinkages_of(FilamentProfile{}).empty());
}

TEST_CASE("a stated glass transition is where an amorphous plastic sets; one that crystallises sets before") {
  FilamentProfile filament;
  filament.material.value = "pla or pp";
  filament.glass_transition_c.value = 70;
  filament.glass_transition_c.from = Origin::profile;
  const std::vector<Shrinkage> both = shrinkages_of(filament);
  REQUIRE(both.size() == 2);
  CHECK(both[0].sets_at_c == 70);
  CHECK(both[1].sets_at_c == 110);
}

TEST_CASE("every built-in material has a figure and a source; a rubber does not pull") {
  for (const Material& material : built_in_materials()) {
    INFO(material.name);
    REQUIRE(of(material.name).size() == 1);
    CHECK(!shrinkage_source(material.name).empty());
    CHECK((of(material.name).front().strain(25) > 0.002 || material.name == "tpu"));
  }
  CHECK(of("tpu").front().strain(25) == 0);
}
