#include "model/nozzle_force.hpp"

#include <doctest/doctest.h>

#include "support/near.hpp"

using namespace beadwise;
using beadwise::tests::near;

TEST_CASE("the force on the filament is that of the pressure in a hot end of common shape") {
  // Barrel 10 mm at r = 1 mm, cone of 60 degrees, land 0.6 mm, 0.4 mm orifice, 5 mm³/s at 210 °C: 2.414 MPa on 1.75 mm
  // filament are 5.81 N (Rabinowitsch's integral of the PLA set, derived). ABS as a power law: 1.976 MPa, 4.75 N.
  MachineProfile machine;
  machine.filament_diameter_mm.value = 1.75;
  machine.nozzle_diameter_mm.value = 0.4;
  CHECK(near(*nozzle_force_n(machine, "pla", 5, 210), 5.81, 0.01));
  CHECK(near(*nozzle_force_n(machine, "abs", 5, 240), 4.75, 0.01));
  CHECK_FALSE(nozzle_force_n(machine, "petg", 5, 240));
}
