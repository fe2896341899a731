#include <doctest/doctest.h>

#include "profile_files.hpp"

using namespace beadwise;
using namespace beadwise::testing;

TEST_CASE("a --set overrides the profile, a later one the earlier one") {
  const Profile profile = load_text("[machine]\nnozzle_diameter_mm = 0.6\n",
                                    {"machine.nozzle_diameter_mm=0.8", "machine.nozzle_diameter_mm = 0.25"});
  CHECK(*profile.machine.nozzle_diameter_mm == 0.25);
  CHECK(profile.machine.nozzle_diameter_mm.from == Origin::command_line);
  CHECK(profile.machine.nozzle_diameter_mm.because == "stated by --set machine.nozzle_diameter_mm = 0.25");
}

TEST_CASE("the value of a --set is TOML, a bare word a string") {
  CHECK(*load_sets({"filament.material=petg"}).filament.material == "petg");
  CHECK(*load_sets({"filament.material=\"petg\""}).filament.material == "petg");
  CHECK(*load_sets({"machine.e_unit=mm3"}).machine.e_unit == EUnit::mm3);
  CHECK(*load_sets({"machine.liner=true"}).machine.liner);
  CHECK(*load_sets({"machine.liner=false"}).machine.liner == false);
  CHECK((*load_sets({"machine.build_x_mm=[0,200]"}).machine.build_x_mm).high == 200);
  CHECK(*load_sets({"machine.max_speed_mm_per_s=1e3"}).machine.max_speed_mm_per_s == 1000);
}

TEST_CASE("a --set reaches the checks") {
  const Profile profile = load_sets(
      {"checks.low-travel.min_lift_mm=0.2", "checks.thin-stroke.off=true", "checks.thin-stroke.severity=note"});
  CHECK(*profile.checks.at("low-travel").limits.at("min_lift_mm") == 0.2);
  CHECK(profile.checks.at("thin-stroke").off);
  CHECK(profile.checks.at("thin-stroke").severity == Severity::note);
  CHECK(profile.checks.at("thin-stroke").from == Origin::command_line);
  CHECK(profile.checks.at("thin-stroke").stated_at == "--set checks.thin-stroke.severity=note");
}

TEST_CASE("a --set that states nothing is refused as wrong usage") {
  const std::string form = ": write TABLE.KEY=VALUE, such as machine.nozzle_diameter_mm=0.4";
  for (const std::string set : {"", "machine", "machine.liner", "liner=true", "=3", ".liner=true", "machine.=3"}) {
    CAPTURE(set);
    CHECK(refusal_of_set(set) == "--set " + set + form);
  }
}

TEST_CASE("a --set is held to what a profile is held to") {
  CHECK(refusal_of_set("machine.nozle_diameter_mm=0.4") ==
        "--set machine.nozle_diameter_mm=0.4: unknown key `nozle_diameter_mm` in [machine]; did you mean "
        "`nozzle_diameter_mm`?");
  CHECK(refusal_of_set("machine.nozzle_diameter_mm=nan") ==
        "--set machine.nozzle_diameter_mm=nan: `nozzle_diameter_mm` in [machine] must be a finite number (mm), not "
        "nan");
  CHECK(refusal_of_set("machine.nozzle_diameter_mm=wide") ==
        "--set machine.nozzle_diameter_mm=wide: `nozzle_diameter_mm` in [machine] must be a number (mm), not a string");
  CHECK(refusal_of_set("checks.low-travl.off=true") ==
        "--set checks.low-travl.off=true: unknown check `low-travl`; did you mean `low-travel`?");
  CHECK(refusal_of_set("checks.low-travel=true") ==
        "--set checks.low-travel=true: [checks.low-travel] must be a table, not true or false");
  CHECK(refusal_of_set("accept.check=low-travel") ==
        "--set accept.check=low-travel: a --set changes a key of machine, filament or checks, not of `accept`");
  CHECK(refusal_of_set("schema_version.x=1").find("not of `schema_version`") != std::string::npos);
  CHECK(refusal_of_set("extends.x=1").find("not of `extends`") != std::string::npos);
}

TEST_CASE("a --set cannot smuggle in a second statement or span lines") {
  CHECK(refusal_of_set("machine.liner=true\nmelt_zone_mm=3") ==
        "--set machine.liner=true\\nmelt_zone_mm=3: the value must be on one line");
  CHECK(refusal_of_set("machine.nozzle_diameter_mm=0.4mm")
            .starts_with("--set machine.nozzle_diameter_mm=0.4mm: the value is neither a word nor TOML: "));
  CHECK(refusal_of_set("machine.nozzle_diameter_mm=")
            .starts_with("--set machine.nozzle_diameter_mm=: the value is neither a word nor TOML: "));
}
