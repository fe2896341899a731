#include "profile/nearest.hpp"

#include <doctest/doctest.h>

using namespace beadwise;

TEST_CASE("a letter put in, left out, changed or swapped is one step; capitals are none") {
  CHECK(edit_distance("nozzle", "nozzle") == 0);
  CHECK(edit_distance("nozle", "nozzle") == 1);
  CHECK(edit_distance("nozzzle", "nozzle") == 1);
  CHECK(edit_distance("nossle", "nozzle") == 2);
  CHECK(edit_distance("nozzel", "nozzle") == 1);
  CHECK(edit_distance("NOZZLE", "nozzle") == 0);
  CHECK(edit_distance("", "bed") == 3);
  CHECK(edit_distance("bed", "") == 3);
  CHECK(edit_distance("ca", "abc") == 3);  // restricted: a swapped pair is not edited again
}

TEST_CASE("the nearest word is offered, or all of them where none is near") {
  CHECK(instead_of("petq", {"pla", "petg"}) == "; did you mean `petg`?");
  CHECK(instead_of("nozle", {"bed_c", "nozzle_diameter_mm"}) == "; did you mean `nozzle_diameter_mm`?");
  CHECK(instead_of("spool_length", {"spool_mass_g", "spool_length_mm"}) == "; did you mean `spool_length_mm`?");
  CHECK(instead_of("wood", {"pla", "petg"}) == "; there are: pla, petg");
  CHECK(instead_of("x", {}) == "; there are none");
}
