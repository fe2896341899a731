#include "machine/comment_words.hpp"

#include <doctest/doctest.h>

using namespace beadwise;

TEST_CASE("a comment says in the words of the trade what is being printed, in any spelling and layout") {
  CHECK(role_in_comment(" outer perimeter") == BeadRole::outer_perimeter);
  CHECK(role_in_comment("PERIMETERS, external") == BeadRole::outer_perimeter);
  CHECK(role_in_comment("kind: inner wall") == BeadRole::perimeter);
  CHECK(role_in_comment("Infill") == BeadRole::infill);
  CHECK(role_in_comment("--- solid infill ---") == BeadRole::solid_infill);
  CHECK(role_in_comment("top surface") == BeadRole::top);
  CHECK(role_in_comment("bridge") == BeadRole::bridge);
  CHECK(role_in_comment("support interface") == BeadRole::support_interface);
  CHECK(role_in_comment("SKIRT") == BeadRole::skirt);
  CHECK(role_in_comment("prime line") == BeadRole::prime);
}

TEST_CASE("a comment about something else says nothing about the next bead") {
  CHECK_FALSE(role_in_comment("infill width = 0.48 mm"));
  CHECK_FALSE(role_in_comment("perimeters 2"));
  CHECK_FALSE(role_in_comment("move up so that the wall of the vase is not hit"));
  CHECK_FALSE(role_in_comment("home all axes"));
  CHECK_FALSE(role_in_comment(""));
}
