#include <doctest/doctest.h>

#include "profile_files.hpp"

using namespace beadwise;
using namespace beadwise::testing;

TEST_CASE("what is not TOML is refused in the line where reading stopped, in one sentence on one line") {
  // Column and wording after the colon are the TOML library's and differ between its versions.
  const auto refused_in_line = [](std::string_view line, std::string_view text) {
    const std::string said = refusal(text);
    CAPTURE(said);
    CHECK(said.starts_with(line));
    CHECK(said.find(": this is not TOML: while ") != std::string::npos);
    CHECK(said.find('\n') == std::string::npos);
  };
  refused_in_line("2:", "[machine]\nbuild_x_mm = [0, 200");
  refused_in_line("2:", "[machine]\nmelt_zone_mm = 1.\n");
  refused_in_line("2:", "[machine]\nliner = yes\n");
  refused_in_line("3:", "[machine]\nmelt_zone_mm = 1\nmelt_zone_mm = 2\n");
  refused_in_line("1:", "[machine\nmelt_zone_mm = 1\n");
  CHECK(refusal("[machine]\n# \xff\xfe\n").starts_with("2:"));
}

TEST_CASE("an unknown key is refused with the nearest one that is known") {
  CHECK(refusal("[machine]\nnozle_diameter_mm = 0.4\n") ==
        "2:1: unknown key `nozle_diameter_mm` in [machine]; did you mean `nozzle_diameter_mm`?");
  CHECK(refusal("[filament]\n  chamber = 3\n")
            .starts_with("2:3: unknown key `chamber` in [filament]; there are: material"));
  CHECK(refusal("[machine]\nchamber = 3\n") == "2:1: unknown key `chamber` in [machine]; did you mean `chamber_c`?");
  CHECK(refusal("machine.chamber = 3\n") == "1:9: unknown key `chamber` in [machine]; did you mean `chamber_c`?");
}

TEST_CASE("the first mistake from the top is the one that is told") {
  CHECK(refusal("[machine]\nzzz = 1\naaa = 1\n").starts_with("2:1: unknown key `zzz`"));
  CHECK(refusal("[machine]\ntool_count = 0\n[filament]\nfoo = 1\n").starts_with("2:14: "));
}

TEST_CASE("an unknown table, a key outside its table and an unknown top key are refused") {
  CHECK(refusal("[machin]\n") == "1:2: unknown table `machin`; did you mean `machine`?");
  CHECK(refusal("extend = \"x\"\n") == "1:1: unknown key `extend`; did you mean `extends`?");
  CHECK(refusal("nozzle_diameter_mm = 0.4\n") == "1:1: `nozzle_diameter_mm` belongs in the table [machine]");
  CHECK(refusal("material = \"pla\"\n") == "1:1: `material` belongs in the table [filament]");
  CHECK(refusal("machine = 3\n") == "1:11: [machine] must be a table, not a whole number");
  CHECK(refusal("[[machine]]\n") == "1:1: [machine] must be a table, not a list");
  CHECK(refusal("schema_version = 2\n") == "1:18: `schema_version` must be 1, the only one there is");
  CHECK(refusal("schema_version = \"1\"\n") == "1:18: `schema_version` must be 1, the only one there is");
  CHECK(refusal("schema_version = 1\n") == "");
}

TEST_CASE("a value of another type is refused with what it should be") {
  CHECK(refusal("[machine]\nmelt_zone_mm = \"20\"\n") ==
        "2:16: `melt_zone_mm` in [machine] must be a number (mm), not a string");
  CHECK(refusal("[machine]\nmelt_zone_mm = true\n") ==
        "2:16: `melt_zone_mm` in [machine] must be a number (mm), not true or false");
  CHECK(refusal("[machine]\nmelt_zone_mm = 2024-05-01\n") ==
        "2:16: `melt_zone_mm` in [machine] must be a number (mm), not a date or time");
  CHECK(refusal("[machine]\nliner = 1\n") == "2:9: `liner` in [machine] must be true or false, not a whole number");
  CHECK(refusal("[machine]\ndrive = 1.5\n") == "2:9: `drive` in [machine] must be a string, not a number");
  CHECK(refusal("[machine]\nbuild_x_mm = 200\n") ==
        "2:14: `build_x_mm` in [machine] must be a list [lowest, highest] (mm), not a whole number");
  CHECK(refusal("[machine]\nbuild_x_mm = [1, 2, 3]\n") ==
        "2:14: `build_x_mm` in [machine] must be a list [lowest, highest] (mm), not a list of 3");
  CHECK(refusal("[machine]\nbuild_x_mm = [1, \"2\"]\n") ==
        "2:18: `build_x_mm` in [machine] must be a number (mm), not a string");
}

TEST_CASE("a number that is not finite is refused") {
  CHECK(refusal("[machine]\nmelt_zone_mm = nan\n") ==
        "2:16: `melt_zone_mm` in [machine] must be a finite number (mm), not nan");
  CHECK(refusal("[machine]\nmelt_zone_mm = inf\n") ==
        "2:16: `melt_zone_mm` in [machine] must be a finite number (mm), not inf");
  CHECK(refusal("[machine]\nbuild_z_mm = [0, -inf]\n") ==
        "2:18: `build_z_mm` in [machine] must be a finite number (mm), not -inf");
  CHECK(refusal("[checks.low-travel]\nmin_lift_mm = nan\n") ==
        "2:15: `min_lift_mm` in [checks.low-travel] must be a finite number, not nan");
}

TEST_CASE("a number that no machine or material has is refused") {
  CHECK(refusal("[machine]\nnozzle_diameter_mm = 0\n") ==
        "2:22: `nozzle_diameter_mm` in [machine] must be more than 0 mm, not 0");
  CHECK(refusal("[machine]\nfilament_diameter_mm = -1.75\n") ==
        "2:24: `filament_diameter_mm` in [machine] must be more than 0 mm, not -1.75");
  CHECK(refusal("[machine]\nfirmware_retraction_mm = -1\n") ==
        "2:26: `firmware_retraction_mm` in [machine] must be at least 0 mm, not -1");
  CHECK(refusal("[machine]\ntool_count = 1.5\n") == "2:14: `tool_count` in [machine] must be a whole number, not 1.5");
  CHECK(refusal("[filament]\ndensity_g_per_cm3 = 1240\n") ==
        "2:21: `density_g_per_cm3` in [filament] must be at most 25 g/cm³, not 1240: is it in another unit?");
  CHECK(refusal("[filament]\nnozzle_c = [240, 200]\n") ==
        "2:12: `nozzle_c` in [filament] must begin with the lower end, but 240 is more than 200");
  CHECK(refusal("[filament]\nnozzle_c = [200, 200]\n") == "");
}

TEST_CASE("a word that is not among the known ones is refused") {
  CHECK(refusal("[filament]\nmaterial = \"PLA\"\n") == "2:12: unknown material `PLA`; did you mean `pla`?");
  CHECK(refusal("[filament]\nmaterial = \"wood\"\n") ==
        "2:12: unknown material `wood`; there are: pla, petg, abs, asa, tpu, pa12, pc, pp, hips");
  CHECK(refusal("[machine]\ndrive = \"bowdn\"\n") ==
        "2:9: `drive` in [machine] cannot be `bowdn`; did you mean `bowden`?");
  CHECK(refusal("[machine]\ne_unit = \"neither\"\n") ==
        "2:10: `e_unit` in [machine] cannot be `neither`; there are: auto, mm, mm3");
  CHECK(refusal("[machine]\ndrive = \"\"\n") == "2:9: `drive` in [machine] must not be empty");
}

TEST_CASE("a check, a limit and a severity that are not known are refused") {
  CHECK(refusal("[checks.low_travel]\n") == "1:9: unknown check `low_travel`; did you mean `low-travel`?");
  CHECK(refusal("[checks.stringing-like]\n") ==
        "1:9: unknown check `stringing-like`; there are: low-travel, thin-stroke, bad-checksum");
  CHECK(refusal("[checks.low-travel]\nmin_lft_mm = 1\n") ==
        "2:1: unknown key `min_lft_mm` in [checks.low-travel]; did you mean `min_lift_mm`?");
  CHECK(refusal("[checks.bad-checksum]\nthreshold = 1\n") ==
        "2:1: unknown key `threshold` in [checks.bad-checksum]; there are: off, severity");
  CHECK(refusal("[checks.low-travel]\nseverity = \"error\"\n") ==
        "2:12: `severity` in [checks.low-travel] cannot be `error`: this check gives note, warning");
  CHECK(refusal("[checks.low-travel]\noff = 1\n") ==
        "2:7: `off` in [checks.low-travel] must be true or false, not a whole number");
  CHECK(refusal("[checks]\nlow-travel = false\n") == "2:14: [checks.low-travel] must be a table, not true or false");
}

TEST_CASE("an accepted finding needs the check, the place and the reason") {
  const std::string check = "[[accept]]\ncheck = \"low-travel\"\n";
  CHECK(refusal("[[accept]]\n") == "1:1: [[accept]] needs `check`: the name of the check");
  CHECK(refusal(check) == "1:1: [[accept]] needs `where`: the finding that is accepted");
  CHECK(refusal(check + "where = \"x\"\n") == "1:1: [[accept]] needs `because`: why the finding is accepted");
  CHECK(refusal(check + "where = \"x\"\nbecause = \" \"\n") == "4:11: `because` in [[accept]] must not be empty");
  CHECK(refusal(check + "reason = \"x\"\n") ==
        "3:1: unknown key `reason` in [[accept]]; there are: check, where, because");
  CHECK(refusal("[[accept]]\ncheck = \"low-travl\"\n") == "2:9: unknown check `low-travl`; did you mean `low-travel`?");
  CHECK(refusal("[accept]\ncheck = \"low-travel\"\n") == "1:1: `accept` must be a list of tables, written [[accept]]");
  CHECK(refusal("accept = [1]\n") == "1:11: each [[accept]] must be a table, not a whole number");
  CHECK(refusal(check + "where = \"x\"\nbecause = \"y\"\n") == "");
}

TEST_CASE("what is stated for a check is kept with its place") {
  const Profile profile =
      load_text("[checks.low-travel]\nseverity = \"note\"\nmin_lift_mm = 1\n[checks.thin-stroke]\n");
  const CheckProfile& check = profile.checks.at("low-travel");
  CHECK_FALSE(check.off);
  CHECK(check.severity == Severity::note);
  CHECK(check.stated_at == "farm.toml:2");
  CHECK(check.from == Origin::profile);
  CHECK(*check.limits.at("min_lift_mm") == 1);
  CHECK(check.limits.at("min_lift_mm").because == "stated at farm.toml:3");
  CHECK(profile.checks.at("thin-stroke").stated_at == "farm.toml:4");
}
