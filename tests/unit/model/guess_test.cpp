#include "model/guess.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <string>

#include "beadwise/analyse.hpp"
#include "model/bead_geometry.hpp"
#include "support/near.hpp"

using namespace beadwise;
using beadwise::tests::near;

namespace {

struct Made {
  double width_mm = 0.45;
  double height_mm = 0.2;
  double filament_mm = 1.75;
  bool volume = false;
  double factor = 1;
  double retraction_mm = 0.8;
  std::string head = "M104 S205\nM140 S60\n";
};

std::string plate(const Made& made) {
  const double area = bead_area_mm2(made.width_mm, made.height_mm) * made.factor;
  const double e_per_mm = made.volume ? area : area / circle_area_mm2(made.filament_mm);
  std::string gcode = made.head + "M83\nG1 F1800\n";
  for (int layer = 1; layer <= 4; ++layer) {
    gcode += fmt::format("G0 Z{:.3f}\n", layer * made.height_mm);
    for (int i = 0; i < 20; ++i)
      gcode += fmt::format("G0 X0 Y{}\nG1 E{}\nG1 X30 E{:.6f}\nG1 E-{}\n", i, made.retraction_mm, 30 * e_per_mm,
                           made.retraction_mm);
  }
  return gcode;
}

Profile guessed(const Made& made) { return profile_in_use(Source::memory("job", plate(made)), {}); }

}  // namespace

TEST_CASE("the filament's diameter and the meaning of E are those that make the beads plausible") {
  const Profile usual = guessed({});
  CHECK(near(*usual.machine.filament_diameter_mm, 1.75, 1e-9));
  CHECK(near(*usual.machine.nozzle_diameter_mm, 0.4, 1e-9));
  CHECK(*usual.machine.e_unit == EUnit::mm);

  Made thick;
  thick.filament_mm = 2.85;
  CHECK(near(*guessed(thick).machine.filament_diameter_mm, 2.85, 1e-9));
  CHECK(near(*guessed(thick).machine.nozzle_diameter_mm, 0.4, 1e-9));

  Made volume;
  volume.volume = true;
  CHECK(*guessed(volume).machine.e_unit == EUnit::mm3);

  Made wide;
  wide.width_mm = 0.68;
  wide.height_mm = 0.3;
  CHECK(near(*guessed(wide).machine.nozzle_diameter_mm, 0.6, 1e-9));
}

TEST_CASE("where no reading of E is plausible the guess says so") {
  Made path;
  path.factor = 100;
  const Profile profile = guessed(path);
  CHECK(*profile.machine.e_unit == EUnit::neither);
  CHECK(profile.machine.e_unit.from == Origin::file);
}

TEST_CASE("too few beads tell nothing: the usual values hold") {
  const Profile profile = profile_in_use(Source::memory("job", "G1 X10 E1 F600\nG1 X20 E2\n"), {});
  CHECK(near(*profile.machine.filament_diameter_mm, 1.75, 1e-9));
  CHECK(*profile.machine.e_unit == EUnit::mm);
  CHECK(profile.machine.e_unit.from == Origin::built_in);
}

TEST_CASE("a comment in plain words and M200 are believed") {
  Made named;
  named.head = "; nozzle diameter: 0.5 mm\n; diameter of the filament 2.85\nM104 S205\n";
  named.filament_mm = 2.85;
  const Profile profile = guessed(named);
  CHECK(near(*profile.machine.nozzle_diameter_mm, 0.5, 1e-9));
  CHECK(near(*profile.machine.filament_diameter_mm, 2.85, 1e-9));
  Made by_command;
  by_command.head = "M104 S205\nM200 D2.85\n";
  by_command.volume = true;
  CHECK(near(*guessed(by_command).machine.filament_diameter_mm, 2.85, 1e-9));
}

TEST_CASE("a retraction of 2.5 mm or more means a guide tube") {
  CHECK(*guessed({}).machine.drive == Drive::direct);
  Made tube;
  tube.retraction_mm = 5;
  CHECK(*guessed(tube).machine.drive == Drive::bowden);
  CHECK(near(*guessed(tube).machine.max_retraction_mm, 8, 1e-9));
}

TEST_CASE("the set points tell which materials fit, with the wider limits of them") {
  CHECK(guessed({}).filament.material.value->starts_with("pla"));
  Made hot;
  hot.head = "M104 S245\nM140 S100\n";
  const Profile profile = guessed(hot);
  REQUIRE(profile.filament.material.known());
  CHECK(profile.filament.material.value->starts_with("abs"));
  CHECK(profile.filament.material.from == Origin::file);
  Made impossible;
  impossible.head = "M104 S120\n";
  CHECK_FALSE(guessed(impossible).filament.material.known());
}

TEST_CASE("what somebody stated is not guessed") {
  AnalyseOptions options;
  options.sets = {"machine.nozzle_diameter_mm=0.6", "machine.filament_diameter_mm=1.75", "filament.material=petg"};
  const Profile profile = profile_in_use(Source::memory("job", plate({})), options);
  CHECK(near(*profile.machine.nozzle_diameter_mm, 0.6, 1e-9));
  CHECK(profile.machine.nozzle_diameter_mm.from == Origin::command_line);
  CHECK(*profile.filament.material == "petg");
}
