#include <doctest/doctest.h>

#include <algorithm>

#include "profile/builtin.hpp"
#include "profile_files.hpp"

using namespace beadwise;
using namespace beadwise::testing;

namespace {

const Material& material(std::string_view name) {
  const auto& all = built_in_materials();
  return *std::find_if(all.begin(), all.end(), [&](const Material& one) { return one.name == name; });
}

FilamentProfile chosen(std::vector<std::string> names) {
  FilamentProfile filament;
  choose_material(filament, names, Origin::file, "the nozzle is at 230");
  return filament;
}

}  // namespace

TEST_CASE("the built-in materials are the nine of the documentation, the commonest first") {
  std::vector<std::string> names;
  for (const Material& one : built_in_materials()) names.push_back(one.name);
  CHECK(names == std::vector<std::string>{"pla", "petg", "abs", "asa", "tpu", "pa12", "pc", "pp", "hips"});
}

TEST_CASE("every number of every material names its source and how sure it is") {
  for (const Material& one : built_in_materials()) {
    CAPTURE(one.name);
    CHECK(one.sources.size() == 9);  // six numbers, two ranges, the advice
    CHECK_FALSE(one.advice.empty());
    for (const auto& entry : one.sources) {
      const std::string &key = entry.first, &source = entry.second;
      CAPTURE(key);
      CHECK((source.ends_with("(read)") || source.ends_with("(derived)") || source.ends_with("(from memory)") ||
             source.ends_with("(common practice)")));
    }
  }
}

TEST_CASE("the built-in materials hold together") {
  for (const Material& one : built_in_materials()) {
    CAPTURE(one.name);
    // Solid below the glass transition, pushed out above it, and printed hotter than that.
    CHECK(one.glass_transition_c < one.flow_temperature_c);
    CHECK(one.flow_temperature_c < one.nozzle_c.low);
    // What people print at every day is not what degrades the material.
    CHECK(one.nozzle_c.high <= one.max_safe_c);
    CHECK(one.nozzle_c.low < one.nozzle_c.high);
    CHECK(one.bed_c.low < one.bed_c.high);
    // Thermoplastics: between polypropylene, which floats, and filled grades.
    CHECK(one.density_g_per_cm3 > 0.85);
    CHECK(one.density_g_per_cm3 < 1.4);
  }
}

TEST_CASE("first flow as measured, and the fit to five measured slip limits") {
  // Read et al. 2024, doi 10.1007/s40192-024-00350-w: table 4, PLA, 0.4 mm orifice: 141.8 °C.
  CHECK(material("pla").flow_temperature_c == doctest::Approx(141.8).epsilon(0.005));
  // Table 3: one diffusivity x length of 2.12 mm³/s gives the same core temperature at slip for all five flows.
  CHECK(material("abs").diffusivity_mm2_per_s * *builtin::machine().melt_zone_mm == doctest::Approx(2.12));
}

TEST_CASE("diffusivities that are derived follow from conductivity, density and heat capacity") {
  // Crawford, Plastics Engineering, table 1.8. mm²/s = 1e6 m²/s. PP: 0.20 / (905 * 2000) = 0.1105.
  CHECK(material("pp").diffusivity_mm2_per_s == doctest::Approx(1e6 * 0.20 / (905 * 2000)).epsilon(0.01));
  // Polystyrene: 0.15 / (1050 * 1300) = 0.1099.
  CHECK(material("hips").diffusivity_mm2_per_s == doctest::Approx(1e6 * 0.15 / (1050 * 1300)).epsilon(0.01));
  // TPU: 0.26 / (1200 * 1800) = 0.1204.
  CHECK(material("tpu").diffusivity_mm2_per_s == doctest::Approx(1e6 * 0.26 / (1200 * 1800)).epsilon(0.01));
}

TEST_CASE("a stated material fills every key that nobody stated") {
  const Profile profile = load_text("[filament]\nmodulus_mpa = 2800\nmaterial = \"pla\"\n");
  CHECK(*profile.filament.density_g_per_cm3 == 1.24);
  CHECK(profile.filament.density_g_per_cm3.from == Origin::profile);
  CHECK(profile.filament.density_g_per_cm3.because ==
        "material = \"pla\", stated at farm.toml:3; data sheets of the polymer (from memory)");
  CHECK((*profile.filament.nozzle_c).low == 180);
  CHECK((*profile.filament.nozzle_c).high == 235);
  CHECK(*profile.filament.modulus_mpa == 2800);
  CHECK(profile.filament.modulus_mpa.because == "stated at farm.toml:2");
}

TEST_CASE("the last statement of the material counts, keys of an earlier profile stay") {
  const Profile profile = load_text("[filament]\nmaterial = \"pla\"\nmax_safe_c = 240\n", {"filament.material=petg"});
  CHECK(*profile.filament.material == "petg");
  CHECK(*profile.filament.density_g_per_cm3 == 1.27);
  CHECK(profile.filament.density_g_per_cm3.from == Origin::command_line);
  CHECK(*profile.filament.max_safe_c == 240);
}

TEST_CASE("two materials that fit: the first one's numbers, the widest of their ranges") {
  const FilamentProfile filament = chosen({"pla", "petg"});
  CHECK(*filament.material == "pla or petg");
  CHECK(filament.material.from == Origin::file);
  CHECK(*filament.density_g_per_cm3 == 1.24);
  // pla [180, 235] and petg [215, 260]; beds [0, 70] and [60, 95].
  CHECK((*filament.nozzle_c).low == 180);
  CHECK((*filament.nozzle_c).high == 260);
  CHECK((*filament.bed_c).low == 0);
  CHECK((*filament.bed_c).high == 95);
  CHECK(filament.nozzle_c.because.starts_with("the nozzle is at 230; "));
}

TEST_CASE("a guess never overrides what somebody stated") {
  Profile profile = load_text("[filament]\nmaterial = \"abs\"\n");
  const std::vector<std::string> guess{"pla"};
  choose_material(profile.filament, guess, Origin::file, "guessed");
  CHECK(*profile.filament.material == "abs");
  CHECK(*profile.filament.density_g_per_cm3 == 1.04);

  Profile other = load_text("[filament]\ndensity_g_per_cm3 = 1.5\n");
  choose_material(other.filament, guess, Origin::file, "guessed");
  CHECK(*other.filament.material == "pla");
  CHECK(*other.filament.density_g_per_cm3 == 1.5);
  CHECK(*other.filament.flow_temperature_c == 142);
}

TEST_CASE("a material that does not exist cannot be chosen") {
  CHECK_THROWS_WITH_AS(chosen({"plla"}), "unknown material `plla`; did you mean `pla`?", Error);
  CHECK_THROWS_AS(chosen({}), std::invalid_argument);
}

TEST_CASE("the longest retraction follows the drive: 3 mm on the hot end, 8 mm through a tube") {
  CHECK(*load_sets({"machine.drive=direct"}).machine.max_retraction_mm == 3);
  const Profile bowden = load_text("[machine]\ndrive = \"bowden\"\n");
  CHECK(*bowden.machine.max_retraction_mm == 8);
  CHECK(bowden.machine.max_retraction_mm.because.starts_with("stated at farm.toml:2; "));
  CHECK_FALSE(load_sets({}).machine.max_retraction_mm.known());
  CHECK_FALSE(load_sets({"machine.drive=auto"}).machine.max_retraction_mm.known());
  CHECK(*load_sets({"machine.drive=direct", "machine.max_retraction_mm=1"}).machine.max_retraction_mm == 1);
}

TEST_CASE("a guessed drive brings its longest retraction, a stated one holds") {
  MachineProfile guessed = load_sets({}).machine;
  apply_drive(guessed, Drive::bowden, Origin::file, "most retractions are 4 mm");
  CHECK(*guessed.drive == Drive::bowden);
  CHECK(guessed.drive.from == Origin::file);
  CHECK(*guessed.max_retraction_mm == 8);
  CHECK(guessed.max_retraction_mm.from == Origin::file);
  CHECK(guessed.max_retraction_mm.because.starts_with("most retractions are 4 mm; "));

  MachineProfile stated = load_sets({"machine.drive=direct"}).machine;
  apply_drive(stated, Drive::bowden, Origin::file, "most retractions are 4 mm");
  CHECK(*stated.drive == Drive::direct);
  CHECK(*stated.max_retraction_mm == 3);

  MachineProfile length = load_sets({"machine.max_retraction_mm=1.5"}).machine;
  apply_drive(length, Drive::bowden, Origin::file, "most retractions are 4 mm");
  CHECK(*length.max_retraction_mm == 1.5);
}
