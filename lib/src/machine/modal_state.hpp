#pragma once

#include <array>
#include <cstdint>
#include <limits>

#include "beadwise/move.hpp"
#include "machine/motion_plan.hpp"

namespace beadwise {

/// What holds from line to line. The job starts at X0 Y0 Z0 E0, absolute, millimetres, XY plane, not homed.
struct ModalState {
  static constexpr double inch_mm = 25.4;  // exact: international yard and pound agreement of 1959

  Point at_mm;                              ///< as the program counts
  std::array<double, 3> offset_mm{};        ///< of G92: machine = program + offset
  std::array<double, 3> saved_offset_mm{};  ///< by G92.2, for G92.3
  double e = 0;                             ///< the E register, in mm or mm³ as the file counts
  double feedrate_mm_per_s = 0;             ///< before M220; 0 until the file gives one
  double speed_factor = 1;                  ///< M220
  double flow_factor = 1;                   ///< M221
  double volume_diameter_mm = 0;            ///< M200: filament diameter where E is a volume, else 0
  int motion = -1;                          ///< 0 to 3; -1 until the file gives one
  std::uint8_t plane = 17;
  bool inches = false;
  bool relative = false;
  bool relative_e = false;
  bool e_stays_relative = false;  ///< the latest of M82 and M83 was M83: G90 leaves E alone
};

/// What one tool holds: E is one register for all, but filament is each tool's own.
struct ToolState {
  double fed_mm = 0;             ///< running position of the filament
  double highest_fed_mm = 0;     ///< what is beyond it is fresh
  bool firmware_pulled = false;  ///< by G10
};

/// What the file says of how the machine moves; 0 where it says nothing.
struct FileLimits {
  double print_mm_per_s2 = 0;              ///< M204 P, S
  double travel_mm_per_s2 = 0;             ///< M204 T, S
  double extruder_mm_per_s2 = 0;           ///< M204 R
  std::array<double, 4> axis_mm_per_s2{};  ///< M201 X Y Z E
  std::array<double, 4> axis_mm_per_s{};   ///< M203 X Y Z E
  CornerRule corner;                       ///< M205
};

}  // namespace beadwise
