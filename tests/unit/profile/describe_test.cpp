#include <doctest/doctest.h>

#include "profile_files.hpp"

using namespace beadwise;
using namespace beadwise::testing;

namespace {

// Everything that a profile can hold, with awkward bytes in the words.
const std::string full = R"([machine]
nozzle_diameter_mm = 0.6
e_unit = "mm"
drive = "bowden"
liner = false
build_x_mm = [-2.5, 220]
max_speed_mm_per_s = 180
[filament]
material = "petg"
density_g_per_cm3 = 1.3
[checks.low-travel]
severity = "note"
min_lift_mm = 0.123456789012345
[checks.thin-stroke]
off = true
[[accept]]
check = "thin-stroke"
where = "tag \"A\\B\" \u0007"
because = "read at arm's length\nand legible"
)";

void check_same_values(const Profile& a, const Profile& b) {
  const auto left = describe(a), right = describe(b);
  REQUIRE(left.size() == right.size());
  for (std::size_t i = 0; i < left.size(); ++i) {
    CAPTURE(left[i].key);
    CHECK(left[i].key == right[i].key);
    CHECK(left[i].value == right[i].value);
  }
  REQUIRE(a.accepted.size() == b.accepted.size());
  for (std::size_t i = 0; i < a.accepted.size(); ++i) {
    CHECK(a.accepted[i].check == b.accepted[i].check);
    CHECK(a.accepted[i].where == b.accepted[i].where);
    CHECK(a.accepted[i].because == b.accepted[i].because);
  }
}

}  // namespace

TEST_CASE("every value is described as TOML with its origin") {
  const Profile profile = load_text(full, {"machine.max_speed_mm_per_s=200.5"});
  CHECK(described(profile, "machine.nozzle_diameter_mm").value == "0.6");
  CHECK(described(profile, "machine.filament_diameter_mm").from == Origin::built_in);
  CHECK(described(profile, "machine.e_unit").value == "\"mm\"");
  CHECK(described(profile, "machine.liner").value == "false");
  CHECK(described(profile, "machine.build_x_mm").value == "[-2.5, 220]");
  CHECK(described(profile, "machine.build_x_mm").because == "stated at farm.toml:6");
  CHECK(described(profile, "machine.max_speed_mm_per_s").value == "200.5");
  CHECK(described(profile, "machine.max_speed_mm_per_s").from == Origin::command_line);
  CHECK(described(profile, "filament.material").value == "\"petg\"");
  CHECK(described(profile, "checks.low-travel.severity").value == "\"note\"");
  CHECK(described(profile, "checks.low-travel.severity").because == "farm.toml:12");
  CHECK(described(profile, "checks.low-travel.min_lift_mm").value == "0.123456789012345");
  CHECK(described(profile, "checks.thin-stroke.off").value == "true");
}

TEST_CASE("a profile written out and loaded again gives the same values") {
  const Profile profile = load_text(full);
  check_same_values(profile, load_text(profile_as_toml(profile)));
  check_same_values(load_sets({}), load_text(profile_as_toml(load_sets({}))));
}

TEST_CASE("a profile written out states guesses, and leaves as comments what is built in or follows") {
  Profile profile = load_sets({});
  const std::vector<std::string> guess{"abs"};
  choose_material(profile.filament, guess, Origin::file, "the nozzle is at 245 °C\nand the bed at 100");
  apply_drive(profile.machine, Drive::bowden, Origin::file, "most retractions are 4 mm");
  const std::string text = profile_as_toml(profile);
  CHECK(text.find("\nmaterial = \"abs\"\n") != std::string::npos);
  CHECK(text.find("\n# file: the nozzle is at 245 °C and the bed at 100\n") != std::string::npos);
  CHECK(text.find("\ndrive = \"bowden\"\n") != std::string::npos);
  CHECK(text.find("\n# density_g_per_cm3 = 1.04\n") != std::string::npos);
  CHECK(text.find("\n# max_retraction_mm = 8\n") != std::string::npos);
  CHECK(text.find("\n# nozzle_diameter_mm = 0.4\n") != std::string::npos);
  CHECK(text.find("\n# liner =\n") != std::string::npos);

  const Profile again = load_text(text);
  CHECK(*again.filament.material == "abs");
  CHECK(again.filament.material.stated());
  CHECK(*again.filament.density_g_per_cm3 == 1.04);
  CHECK(*again.machine.max_retraction_mm == 8);
  CHECK_FALSE(again.machine.nozzle_diameter_mm.stated());
}

TEST_CASE("a guess that cannot be stated is written as a comment") {
  Profile profile = load_sets({});
  const std::vector<std::string> guess{"pla", "petg"};
  choose_material(profile.filament, guess, Origin::file, "the nozzle is at 225 °C");
  profile.machine.e_unit = {EUnit::neither, Origin::file, "no reading gives beads"};
  const std::string text = profile_as_toml(profile);
  CHECK(text.find("\n# material = \"pla or petg\"\n") != std::string::npos);
  CHECK(text.find("\n# e_unit = \"neither\"\n") != std::string::npos);
  CHECK_NOTHROW(load_text(text));
}

TEST_CASE("words for severities, origins, units of E and drives") {
  CHECK(to_string(Severity::note) == "note");
  CHECK(to_string(Severity::warning) == "warning");
  CHECK(to_string(Severity::error) == "error");
  CHECK(to_string(Origin::built_in) == "built-in");
  CHECK(to_string(Origin::file) == "file");
  CHECK(to_string(Origin::profile) == "profile");
  CHECK(to_string(Origin::command_line) == "command-line");
  CHECK(to_string(EUnit::neither) == "neither");
  CHECK(to_string(Drive::automatic) == "auto");
}
