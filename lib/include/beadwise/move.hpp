#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "beadwise/profile.hpp"
#include "beadwise/reader.hpp"

namespace beadwise {

/// A place as the program commands it, mm.
struct Point {
  double x = 0;
  double y = 0;
  double z = 0;
};

/// What a move does with the filament and the head.
enum class MoveKind : std::uint8_t {
  bead,    ///< E forward with a motion in X or Y (an arc always): material is laid
  travel,  ///< a motion that lays no bead: no E, or E backward with a motion in X or Y
  feed,    ///< E forward without a motion in X or Y: a prime or a push
  pull,    ///< E backward without a motion in X or Y
  still,   ///< nothing moves
};

/// How the E words of a job are read the wrong way round, as far as they show.
enum class EMisread : std::uint8_t {
  no,
  total_as_steps,  ///< E is a running total, and the file has it read as steps
  steps_as_total,  ///< E is steps, and the file has it read as a running total
};

/// What a file's comments say that is being printed, by the words of the trade.
enum class BeadRole : std::uint8_t {
  unknown,
  outer_perimeter,
  perimeter,
  infill,
  solid_infill,
  top,
  bottom,
  bridge,
  gap_fill,
  support,
  support_interface,
  skirt,
  brim,
  raft,
  prime,  ///< prime line, purge block
  ironing,
};

/// What is set while moves are made; changes seldom, so moves share it.
struct Settings {
  std::array<double, 64> nozzle_c{};  ///< set point of each tool; NaN where the file sets none
  double bed_c = 0;                   ///< NaN where the file sets none
  double chamber_c = 0;               ///< NaN where the file sets none
  double fan_ratio = 0;               ///< part-cooling fan, 0 to 1
  double acceleration_mm_per_s2 = 0;  ///< M204, while beads are laid; 0 where nothing was said
  std::uint8_t tool = 0;

  double tool_c() const { return nozzle_c[tool]; }
};

/// How an arc runs.
struct Arc {
  std::array<double, 2> center_mm{};  ///< in the arc's plane, absolute
  double radius_mm = 0;
  double start_rad = 0;     ///< angle of the start point
  double sweep_rad = 0;     ///< signed: positive against the clock seen from the positive end of the third axis
  std::uint8_t plane = 17;  ///< 17 XY, 18 ZX, 19 YZ
};

/// Speed over time of one move: up from `entry`, along at `peak`, down to `exit`, each at constant `acceleration`.
struct SpeedProfile {
  double entry_mm_per_s = 0;
  double peak_mm_per_s = 0;
  double exit_mm_per_s = 0;
  double acceleration_mm_per_s2 = 0;
};

/// One commanded motion: a G0/G1/G2/G3 line, or a line of words that repeats the mode.
struct Move {
  Point from_mm;
  Point to_mm;
  double path_mm = 0;  ///< length in X, Y, Z; of an arc along the arc
  double filament_mm =
      0;  ///< signed length of filament, after M221 and volume settings; by M83 and the like already a difference
  double fresh_mm = 0;           ///< of it: filament that passes the drive gear for the first time
  double owed_mm = 0;            ///< after the move: filament pulled back and not yet given back, of the tool in use
  double feedrate_mm_per_s = 0;  ///< commanded, after M220; 0 where the file never gave one
  double start_s = 0;            ///< in the job's time
  double duration_s = 0;
  SpeedProfile speed;  ///< along `path_mm`; of a move of the extruder alone along the filament
  std::uint64_t line = 0;
  std::uint32_t settings = 0;  ///< index into the batch
  std::int32_t arc = -1;       ///< index into the batch, -1 for a straight move
  std::uint32_t layer = 0;     ///< of a bead its layer, else that of the last bead before it; from 1, 0 before any bead
  MoveKind kind = MoveKind::still;
  BeadRole role = BeadRole::unknown;  ///< as the comments say
  bool rapid = false;                 ///< G0
  bool relative_e = false;
  bool spiral = false;      ///< a bead of a continuous climb
  bool after_stop = false;  ///< the head stood still before it (waits, homing, dwell, tool change)
};

/// Things in a file that are no moves but matter to somebody.
enum class EventKind : std::uint8_t {
  nozzle_set,           ///< value °C; waits
  bed_set,              ///< value °C; waits
  chamber_set,          ///< value °C; waits
  wait_for_heat,        ///< M116, M190 without a value and their like
  fan_set,              ///< value 0 to 1
  homing,               ///< G28; text: the axes, "XYZ"
  probing,              ///< G29, G30 … G38: the head touches the bed
  dwell,                ///< G4; value s
  pause,                ///< M0, M1, M25, M226
  filament_change,      ///< M600
  tool_change,          ///< T; value the tool
  motors_off,           ///< M18, M84
  firmware_retraction,  ///< G10 when not already retracted; value mm
  firmware_prime,       ///< G11 after it; value mm
  origin_set,           ///< G92; text: the axes
  acceleration_set,     ///< M201, M204; value the largest in mm/s²
  speed_limit_set,      ///< M203; value the largest in mm/s
  speed_factor_set,     ///< M220; value the ratio
  flow_factor_set,      ///< M221; value the ratio
  program_end,          ///< M2, M30
  macro,                ///< an extended command; text: its name
  unknown_command,      ///< text: its name, as "M862.3"
  extruder_on,          ///< M101
  extruder_off,         ///< M103
  spindle,              ///< M3, M4, M5 and other commands of mills and lasers; text: its name
  broken_arc,           ///< an arc that cannot be; text: why
  bad_checksum,         ///<
  unread,     ///< a word or a line that was left out; text: what, value: 1 where a motion or a heater was lost
  zero_feed,  ///< F0 or less; the feed before it holds
};

/// An event and where it stands between the moves.
struct Event {
  EventKind kind = EventKind::unread;
  TroubleKind trouble = TroubleKind::word;  ///< of `unread`
  std::uint8_t tool = 0;
  bool waits = false;        ///< the machine stands until it is done
  bool may_heat = false;     ///< macro, unknown_command: may have heated, homed, switched off or ended the job
  std::uint32_t before = 0;  ///< index in the batch of the move that it comes before (may be one past the last)
  std::uint32_t column = 0;  ///< from 1; 0 where none
  std::uint32_t layer = 0;   ///< of the last bead before it; 0 before any bead
  double value = 0;
  std::uint64_t line = 0;
  Point at_mm;  ///< where the head was
  std::string text;
};

/// Moves in order, and the events between them.
struct MoveBatch {
  std::vector<Move> moves;
  std::vector<Event> events;
  std::vector<Settings> settings;
  std::vector<Arc> arcs;

  const Settings& settings_of(const Move& move) const { return settings[move.settings]; }
};

}  // namespace beadwise
