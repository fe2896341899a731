#include "property/alike.hpp"

#include <doctest/doctest.h>

namespace beadwise::tests {
namespace {

using Json = nlohmann::ordered_json;

TEST_CASE("reports are the same, or it is said where they differ") {
  const Json a{{"what", "flow of 12.5 mm³/s"}, {"count", 3}};
  CHECK(differences(a, a, {}).empty());
  CHECK(differences(a, {{"what", "flow of 12.6 mm³/s"}, {"count", 3}}, {}).size() == 1);
  CHECK(differences(a, {{"what", "flow of 12.5 mm³/s"}, {"count", 4}}, {}).size() == 1);
  CHECK(differences(a, {{"what", "flow of 12.5 mm³/s"}}, {}).size() == 2);
  CHECK(differences(a, {{"what", "flow of 12.5 mm³/s"}, {"count", 4}}, {.but_for = {"count"}}).empty());
}

TEST_CASE("figures within sentences may differ by one in the last place, and no more") {
  const Likeness likeness{.relative = 1e-6};
  CHECK(differences(Json("flow of 12.5 mm³/s"), Json("flow of 12.6 mm³/s"), likeness).empty());
  CHECK(differences(Json("flow of 12.5 mm³/s"), Json("flow of 12.8 mm³/s"), likeness).size() == 1);
  CHECK(differences(Json("flow of 12.5 mm³/s"), Json("rate of 12.5 mm³/s"), likeness).size() == 1);
}

}  // namespace
}  // namespace beadwise::tests
