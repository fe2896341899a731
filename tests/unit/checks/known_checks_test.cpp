#include <doctest/doctest.h>

#include <algorithm>
#include <string>

#include "beadwise/check.hpp"

namespace beadwise {
namespace {

const Description& example_description() {
  static const Description description{
      .needs = Needs::moves,
      .severities = {Severity::note, Severity::warning},
      .symptoms = {Symptom::clogging},
      .thresholds = {{"passes", 30, "passes", "gear passes of one point", "common practice"}}};
  return description;
}

CheckContext context_over(const Profile& profile) {
  return {.name = "example", .profile = profile, .description = example_description()};
}

TEST_CASE("a limit that nobody stated is the built-in one") {
  const Profile profile;
  const Limit limit = context_over(profile).limit("passes");
  CHECK(limit.value == 30);
  CHECK(limit.from == Origin::built_in);
}

TEST_CASE("a limit stated for the check holds, with its origin") {
  Profile profile;
  profile.checks["example"].limits["passes"] = {.value = 12.0, .from = Origin::command_line, .because = "--set"};
  const Limit limit = context_over(profile).limit("passes");
  CHECK(limit.value == 12);
  CHECK(limit.from == Origin::command_line);
}

TEST_CASE("a limit stated for another check does not hold here") {
  Profile profile;
  profile.checks["another"].limits["passes"] = {.value = 12.0, .from = Origin::profile, .because = "farm.toml"};
  CHECK(context_over(profile).limit("passes").value == 30);
}

TEST_CASE("a limit that the description does not name is a mistake in the check") {
  const Profile profile;
  CHECK_THROWS_AS(context_over(profile).limit("strokes"), std::logic_error);
}

TEST_CASE("the summary of a page is the first line with words after its title") {
  const RegisteredCheck check{.name = "example",
                              .page = "# example\n\nFilament that the gear grinds.\n\n## What it looks for\n",
                              .describe = example_description,
                              .make = nullptr};
  CHECK(summary_of(check) == "Filament that the gear grinds.");
}

TEST_CASE("a page without a summary has an empty one") {
  const RegisteredCheck check{.name = "example", .page = "# example", .describe = example_description, .make = nullptr};
  CHECK(summary_of(check).empty());
}

TEST_CASE("checks are listed once each, in order of name") {
  const auto checks = all_checks();
  const auto before = [](const RegisteredCheck& a, const RegisteredCheck& b) { return a.name < b.name; };
  CHECK(std::is_sorted(checks.begin(), checks.end(), before));
  CHECK(std::adjacent_find(checks.begin(), checks.end(),
                           [](const auto& a, const auto& b) { return a.name == b.name; }) == checks.end());
}

TEST_CASE("the profile learns every check's limits and severities") {
  const auto known = known_checks();
  const auto checks = all_checks();
  REQUIRE(known.size() == checks.size());
  for (std::size_t index = 0; index < known.size(); ++index) {
    CHECK(known[index].name == checks[index].name);
    CHECK(known[index].limits.size() == checks[index].describe().thresholds.size());
    CHECK(known[index].severities == checks[index].describe().severities);
  }
}

}  // namespace
}  // namespace beadwise
