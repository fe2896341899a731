#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "beadwise/move.hpp"
#include "beadwise/profile.hpp"

namespace beadwise {

/// A melt zone and the filament that it heats.
struct MeltSetup {
  /// Filament comes off the spool at about the temperature of a heated room: common practice.
  static constexpr double room_c = 25;

  double melt_zone_mm = 20;
  double filament_diameter_mm = 1.75;
  double diffusivity_mm2_per_s = 0;
  double flow_temperature_c = 0;
  double inlet_c = room_c;  ///< of the filament where it enters
};

/// What a profile says of it; none where it knows no diffusivity, no flow temperature or no reading of E.
std::optional<MeltSetup> melt_setup_from(const Profile& profile);

/// Volume of filament within the zone, mm³.
double zone_volume_mm3(const MeltSetup& setup);
/// Mean flow while a piece was in the zone, mm³/s: Q = volume / residence, so that Fo = α t/R² = π α L/Q.
double flow_of_residence_mm3_per_s(const MeltSetup& setup, double residence_s);
/// Temperature on the axis of filament after a time at the nozzle's set point, °C.
double core_c(const MeltSetup& setup, double residence_s, double nozzle_c);
/// The same in the mean over the cross-section.
double mean_c(const MeltSetup& setup, double residence_s, double nozzle_c);
/// How long filament has to stay until its core has the flow temperature, s; infinite where the nozzle is no hotter.
double heating_time_s(const MeltSetup& setup, double nozzle_c);
/// The largest steady flow whose core leaves with the flow temperature, mm³/s; 0 where the nozzle is no hotter.
double heated_flow_mm3_per_s(const MeltSetup& setup, double nozzle_c);
/// The set point at which the core would have the flow temperature after a time, °C; infinite where heat has no time.
double nozzle_c_for(const MeltSetup& setup, double residence_s);

/// A stretch of filament that left the nozzle during one move. Its residence runs evenly from one end to the other.
struct MeltPiece {
  double filament_mm = 0;
  double first_residence_s = 0;  ///< of the end that left first
  double last_residence_s = 0;
  double leave_s = 0;  ///< in the job's time, of the end that left last
};

/// Follows each tool's filament through a melt zone: a plug that enters at the highest position fed and has left when
/// the zone's length more was fed. Retractions and primes move no new filament, but their time passes.
///
/// Exact in time at the ends of moves and, of moves that feed more than 1/64 of the zone, at their phases and three
/// more times on each ramp; even feeding in between. Constant time per move over a job, memory for a zone's length.
///
/// What is in a zone when the job starts, or when the machine stands for an unknown time (waits for heat, pauses, tool
/// changes, homing, macros, moves without a speed), counts as heated for an hour more.
class MeltZone {
 public:
  static constexpr double unknown_wait_s = 3600;

  explicit MeltZone(double melt_zone_mm);

  /// Events and moves in the order of the file.
  void on_event(const Event& event);
  /// The pieces of `tool`'s filament that leave during the move, in order; they live until the next call.
  std::span<const MeltPiece> on_move(const Move& move, std::uint8_t tool);

 private:
  /// Filament that entered the zone at an even rate.
  struct Stretch {
    double begin_mm = 0;
    double end_mm = 0;
    double first_s = 0;
    double last_s = 0;
    double s_per_mm = 0;

    double time_s(double at_mm) const { return at_mm >= end_mm ? last_s : first_s + (at_mm - begin_mm) * s_per_mm; }
  };
  struct Line {
    double fed_mm = 0;
    std::vector<Stretch> entered;
    std::size_t leaving = 0;  ///< index of the stretch that reaches the orifice
  };

  bool stands(const Event& event);
  Line& line_of(std::uint8_t tool);
  void feed_in_steps(Line& line, const Move& move, double start_s);
  void feed(Line& line, double length_mm, double first_s, double last_s);
  void enter(Line& line, const Stretch& stretch) const;
  static void forget_left(Line& line);

  double melt_zone_mm_;
  double waited_s_ = 0;  ///< unknown waits so far
  double bed_reached_c_ = std::numeric_limits<double>::quiet_NaN();
  std::array<double, 64> nozzle_reached_c_;
  std::array<std::unique_ptr<Line>, 64> lines_;
  std::vector<MeltPiece> pieces_;
};

/// What the filament of one bead lived through: of its piece that was in the zone for the shortest time.
struct MeltSample {
  double time_s = 0;  ///< end of the bead, in the job's time
  double residence_s = 0;
  double flow_asked_mm3_per_s = 0;   ///< mean over the residence
  double flow_heated_mm3_per_s = 0;  ///< what the zone heats through at this set point
  double core_c = 0;                 ///< NaN where the file sets no temperature
  double mean_c = 0;                 ///< NaN where the file sets no temperature
  std::uint64_t line = 0;
  std::uint32_t layer = 0;
  std::uint8_t tool = 0;
};

/// The coldest core of one layer.
struct LayerCore {
  std::uint32_t layer = 0;
  double core_c = 0;
};

/// Gives a sample for every bead that lays filament never fed before, and keeps the coldest.
class MeltRecord {
 public:
  explicit MeltRecord(const MeltSetup& setup) : setup_(setup), zone_(setup.melt_zone_mm) {}

  void keep_layers(bool keep) { keep_layers_ = keep; }
  /// The samples of one batch, in order; they live until the next call.
  std::span<const MeltSample> on_moves(const MoveBatch& batch);
  /// The coldest core of the job, the first of equals; none where no bead has a set point.
  const std::optional<MeltSample>& coldest() const { return coldest_; }
  /// In order of layers, of those with a set point; empty unless kept.
  const std::vector<LayerCore>& layers() const { return layers_; }

 private:
  void on_bead(const MoveBatch& batch, const Move& move, std::span<const MeltPiece> pieces);
  void keep(const MeltSample& sample);

  MeltSetup setup_;
  MeltZone zone_;
  bool keep_layers_ = false;
  std::vector<MeltSample> samples_;
  std::optional<MeltSample> coldest_;
  std::vector<LayerCore> layers_;
  double heated_at_c_ = std::numeric_limits<double>::quiet_NaN();  ///< set point that `heated_flow_` holds for
  double heated_flow_ = 0;
};

}  // namespace beadwise
