#include <doctest/doctest.h>

#include "profile_files.hpp"

using namespace beadwise;
using namespace beadwise::testing;

namespace {

Profile discover_from(const std::filesystem::path& folder) { return load_profile({{}, folder, {}}, some_checks()); }

constexpr auto wide_nozzle = "[machine]\nnozzle_diameter_mm = 0.6\n";

}  // namespace

TEST_CASE("without a profile the built-in values hold, each with its source") {
  const Profile profile = load_sets({});
  CHECK(profile.files.empty());
  CHECK(*profile.machine.nozzle_diameter_mm == 0.4);
  CHECK(*profile.machine.filament_diameter_mm == 1.75);
  CHECK(*profile.machine.e_unit == EUnit::automatic);
  CHECK(*profile.machine.drive == Drive::automatic);
  CHECK(*profile.machine.melt_zone_mm == 20);
  CHECK(*profile.machine.max_acceleration_mm_per_s2 == 1500);
  CHECK(*profile.machine.z_acceleration_mm_per_s2 == 1500);
  CHECK(*profile.machine.extruder_acceleration_mm_per_s2 == 1500);
  CHECK(*profile.machine.corner_speed_mm_per_s == 5);
  CHECK(*profile.machine.max_retraction_speed_mm_per_s == 80);
  CHECK(*profile.machine.firmware_retraction_mm == 0);
  for (const ProfileValue& value : describe(profile)) {
    CAPTURE(value.key);
    CHECK(value.from == Origin::built_in);
    CHECK_FALSE(value.because.empty());
  }
}

TEST_CASE("what no value would be honest for is unknown") {
  const Profile profile = load_sets({});
  for (const auto key :
       {"machine.tube_length_mm", "machine.liner", "machine.build_x_mm", "machine.build_y_mm", "machine.build_z_mm",
        "machine.max_speed_mm_per_s", "machine.max_retraction_mm", "machine.drive_force_n", "machine.tube_hold_n",
        "machine.chamber_c", "machine.tool_count", "filament.material", "filament.density_g_per_cm3",
        "filament.nozzle_c", "filament.spool_length_mm", "filament.spool_mass_g"}) {
    CAPTURE(key);
    CHECK(described(profile, key).key == key);
    CHECK(described(profile, key).value.empty());
  }
}

TEST_CASE("a stated value says in which line of which file it was stated") {
  const Profile profile = load_text("# the bench\n[machine]\nnozzle_diameter_mm = 0.6\n");
  CHECK(*profile.machine.nozzle_diameter_mm == 0.6);
  CHECK(profile.machine.nozzle_diameter_mm.stated());
  CHECK(profile.machine.nozzle_diameter_mm.from == Origin::profile);
  CHECK(profile.machine.nozzle_diameter_mm.because == "stated at farm.toml:3");
  CHECK_FALSE(profile.machine.filament_diameter_mm.stated());
}

TEST_CASE("each kind of value is read: fraction, whole number, yes or no, word, list") {
  const Profile profile = load_text(
      "[machine]\ncorner_speed_mm_per_s = 8.5\nmelt_zone_mm = 12\nliner = true\ne_unit = \"mm3\"\n"
      "drive = \"direct\"\nbuild_x_mm = [-5, 220.5]\ntool_count = 2\n[filament]\nmaterial = \"abs\"\n");
  CHECK(*profile.machine.corner_speed_mm_per_s == 8.5);
  CHECK(*profile.machine.melt_zone_mm == 12);
  CHECK(*profile.machine.liner);
  CHECK(*profile.machine.e_unit == EUnit::mm3);
  CHECK(*profile.machine.drive == Drive::direct);
  CHECK((*profile.machine.build_x_mm).low == -5);
  CHECK((*profile.machine.build_x_mm).high == 220.5);
  CHECK(*profile.machine.tool_count == 2);
  CHECK(*profile.filament.material == "abs");
}

TEST_CASE("a profile is found in the job's folder, before any further up") {
  const Folder folder;
  folder.write("beadwise.toml", "[machine]\nnozzle_diameter_mm = 0.8\n");
  folder.write("plates/beadwise.toml", wide_nozzle);
  const Profile profile = discover_from(folder.path() / "plates");
  CHECK(*profile.machine.nozzle_diameter_mm == 0.6);
  CHECK(profile.files == std::vector<std::filesystem::path>{folder.path() / "plates/beadwise.toml"});
}

TEST_CASE("a profile is found upward, past folders without one") {
  const Folder folder;
  folder.write("beadwise.toml", wide_nozzle);
  folder.write("plates/spring/tag.gcode", "G1 X1\n");
  CHECK(*discover_from(folder.path() / "plates/spring").machine.nozzle_diameter_mm == 0.6);
  CHECK(*discover_from(folder.path() / "plates/spring/").machine.nozzle_diameter_mm == 0.6);
  CHECK(*discover_from(folder.path() / "plates/../plates").machine.nozzle_diameter_mm == 0.6);
}

TEST_CASE("a folder that is called like a profile is passed over") {
  const Folder folder;
  folder.write("beadwise.toml", wide_nozzle);
  std::filesystem::create_directories(folder.path() / "plates/beadwise.toml");
  CHECK(*discover_from(folder.path() / "plates").machine.nozzle_diameter_mm == 0.6);
}

TEST_CASE("a profile further up is not merged unless it is extended") {
  const Folder folder;
  folder.write("beadwise.toml", "[machine]\ncorner_speed_mm_per_s = 9\n");
  folder.write("plates/beadwise.toml", wide_nozzle);
  CHECK(*discover_from(folder.path() / "plates").machine.corner_speed_mm_per_s == 5);
}

TEST_CASE("a named profile ends the search") {
  const Folder folder;
  folder.write("beadwise.toml", wide_nozzle);
  const auto named = folder.write("other.toml", "[machine]\nnozzle_diameter_mm = 0.25\n");
  CHECK(*load_profile({named, folder.path(), {}}, some_checks()).machine.nozzle_diameter_mm == 0.25);
}

TEST_CASE("an extended profile is built upon: tables merge, the nearer value wins") {
  const Folder folder;
  folder.write("farm/farm.toml",
               "[machine]\nnozzle_diameter_mm = 0.8\ncorner_speed_mm_per_s = 9\n[checks.low-travel]\noff = true\n"
               "min_lift_mm = 0.3\n");
  const auto near = folder.write("plates/beadwise.toml",
                                 "extends = \"../farm/farm.toml\"\n[machine]\nnozzle_diameter_mm = 0.6\n"
                                 "[checks.low-travel]\nmax_length_mm = 7\n");
  const Profile profile = load_file(near);
  CHECK(*profile.machine.nozzle_diameter_mm == 0.6);
  CHECK(profile.machine.nozzle_diameter_mm.because == "stated at beadwise.toml:3");
  CHECK(*profile.machine.corner_speed_mm_per_s == 9);
  CHECK(profile.machine.corner_speed_mm_per_s.because == "stated at ../farm/farm.toml:3");
  const CheckProfile& check = profile.checks.at("low-travel");
  CHECK(check.off);
  CHECK(*check.limits.at("min_lift_mm") == 0.3);
  CHECK(*check.limits.at("max_length_mm") == 7);
  CHECK(profile.files ==
        std::vector<std::filesystem::path>{near, (folder.path() / "farm/farm.toml").lexically_normal()});
}

TEST_CASE("a nearer profile takes an extended statement back") {
  const Folder folder;
  folder.write("farm.toml", "[machine]\ndrive = \"direct\"\ne_unit = \"mm3\"\n[checks.low-travel]\noff = true\n");
  const Profile profile = load_file(folder.write(
      "near.toml",
      "extends = \"farm.toml\"\n[machine]\ndrive = \"auto\"\ne_unit = \"auto\"\n[checks.low-travel]\noff = "
      "false\n"));
  CHECK_FALSE(profile.machine.drive.stated());
  CHECK_FALSE(profile.machine.e_unit.stated());
  CHECK(*profile.machine.drive == Drive::automatic);
  CHECK_FALSE(profile.machine.max_retraction_mm.known());
  CHECK_FALSE(profile.checks.at("low-travel").off);
}

TEST_CASE("a list of a nearer profile replaces the whole list") {
  const Folder folder;
  folder.write("farm.toml",
               "[machine]\nbuild_x_mm = [0, 200]\n[[accept]]\ncheck = \"low-travel\"\nwhere = \"a\"\nbecause = \"b\"\n"
               "[[accept]]\ncheck = \"low-travel\"\nwhere = \"c\"\nbecause = \"d\"\n");
  const Profile profile = load_file(folder.write(
      "near.toml",
      "extends = \"farm.toml\"\n[machine]\nbuild_x_mm = [5, 100]\n[[accept]]\ncheck = \"thin-stroke\"\nwhere = "
      "\"e\"\nbecause = \"f\"\n"));
  CHECK((*profile.machine.build_x_mm).low == 5);
  REQUIRE(profile.accepted.size() == 1);
  CHECK(profile.accepted[0].check == "thin-stroke");
  CHECK(profile.accepted[0].where == "e");
  CHECK(profile.accepted[0].because == "f");
  CHECK(profile.accepted[0].stated_at == "near.toml:4");
  CHECK(load_file(folder.write("keeps.toml", "extends = \"farm.toml\"\n")).accepted.size() == 2);
  CHECK(load_file(folder.write("none.toml", "extends = \"farm.toml\"\naccept = []\n")).accepted.empty());
}

TEST_CASE("a chain of three profiles reads the farthest first") {
  const Folder folder;
  folder.write("a.toml", "[machine]\nmelt_zone_mm = 1\nchamber_c = 31\ncorner_speed_mm_per_s = 1\n");
  folder.write("b.toml", "extends = \"a.toml\"\n[machine]\nmelt_zone_mm = 2\nchamber_c = 32\n");
  const Profile profile = load_file(folder.write("c.toml", "extends = \"b.toml\"\n[machine]\nmelt_zone_mm = 3\n"));
  CHECK(*profile.machine.melt_zone_mm == 3);
  CHECK(*profile.machine.chamber_c == 32);
  CHECK(*profile.machine.corner_speed_mm_per_s == 1);
  CHECK(profile.files.size() == 3);
}

TEST_CASE("extending in a circle is refused where the circle closes") {
  const Folder folder;
  folder.write("a.toml", "\nextends = \"b.toml\"\n");
  folder.write("b.toml", "extends = \"./a.toml\"\n");
  try {
    load_file(folder.path() / "a.toml");
    FAIL("taken");
  } catch (const Error& error) {
    CHECK(error.kind() == ErrorKind::profile);
    CHECK(error.file() == (folder.path() / "b.toml").string());
    CHECK(error.line() == 1);
    CHECK(error.column() == 11);
    CHECK(error.sentence() ==
          "`extends` goes round in a circle: `./a.toml` is being read already, and it leads back here");
  }
  CHECK(refusal("extends = \"farm.toml\"\n").find("goes round in a circle") != std::string::npos);
}

TEST_CASE("a mistake in an extended profile is told with that file's name") {
  const Folder folder;
  const auto far = folder.write("far.toml", "[machine]\n\nnozle = 1\n");
  try {
    load_file(folder.write("near.toml", "extends = \"far.toml\"\n"));
    FAIL("taken");
  } catch (const Error& error) {
    CHECK(error.file() == far.string());
    CHECK(error.line() == 3);
  }
}

TEST_CASE("an extended profile that is not there is told where it is named") {
  CHECK(refusal("extends = \"nowhere.toml\"\n") == "1:11: `extends` names `nowhere.toml`, but there is no such file");
  CHECK(refusal("extends = \"\"\n") == "1:11: `extends` must be the path of one profile, a string");
  CHECK(refusal("extends = [\"a.toml\"]\n") == "1:11: `extends` must be the path of one profile, a string");
}

TEST_CASE("a named profile that is missing or a folder is refused") {
  const Folder folder;
  CHECK_THROWS_WITH_AS(load_file(folder.path() / "none.toml"),
                       ((folder.path() / "none.toml").string() + ": cannot be read: No such file or directory").c_str(),
                       Error);
  CHECK_THROWS_WITH_AS(load_file(folder.path()),
                       (folder.path().string() + ": is a folder; name the profile file in it").c_str(), Error);
}

TEST_CASE("an empty profile states nothing") {
  const Profile profile = load_text("");
  CHECK(profile.files.size() == 1);
  CHECK(*profile.machine.nozzle_diameter_mm == 0.4);
}
