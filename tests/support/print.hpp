#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace beadwise::tests {

/// A place on the plate, mm.
struct PlanePoint {
  double x = 0;
  double y = 0;
};

/// The corners of a closed outline.
using Outline = std::vector<PlanePoint>;

/// A square with its low corner at `low`.
Outline square(double side_mm, PlanePoint low = {100, 100});
Outline rectangle(double width_mm, double depth_mm, PlanePoint low);

/// One and the same print can be written in several ways.
struct Writing {
  bool relative_e = false;
  bool inches = false;
  bool arcs_as_chords = false;
  std::string_view line_end = "\n";
};

/// What the beads and motions of a print are like: a 0.4 mm nozzle, PLA of 1.75 mm, common practice.
struct PrintStyle {
  double width_mm = 0.45;
  double filament_diameter_mm = 1.75;
  double bead_speed_mm_per_s = 50;
  double travel_speed_mm_per_s = 120;
  double retraction_mm = 0.8;
  double retraction_speed_mm_per_s = 40;
  double nozzle_c = 210;
  double bed_c = 60;
};

/// A small print, told step by step: `print().layer(0.2).perimeter(square(20)).travel_to(50, 50).finish().gcode()`.
/// Positions are rounded to 1 µm and filament to 10 nm when they are told, so that every writing commands the same.
class Print {
 public:
  explicit Print(const PrintStyle& style = {}) : style_(style) {}

  /// Homes, heats the bed and the nozzle and waits for both.
  Print& start();
  /// Up to the next layer, `height_mm` above the last.
  Print& layer(double height_mm);
  /// To the outline's first corner without filament, then once around.
  Print& perimeter(const Outline& outline);
  /// Zigzag lines within a rectangle, one `spacing_mm` beside the other.
  Print& fill(double width_mm, double depth_mm, PlanePoint low, double spacing_mm);
  /// Once around a circle in two half-turn arcs, against the clock.
  Print& ring(double radius_mm, PlanePoint center);
  Print& bead_to(PlanePoint to);
  Print& arc_bead_to(PlanePoint to, PlanePoint center, bool clockwise);
  Print& travel_to(double x, double y);
  /// Pulls filament back; nothing where it is pulled back already.
  Print& retract();
  Print& retract(double length_mm);
  /// Gives back what was pulled.
  Print& prime();
  Print& lift(double height_mm);
  Print& lower();
  /// A line as it stands: a command without lengths, a comment.
  Print& line(std::string_view text);
  /// Pulls the filament back, lifts the head, switches the heaters, the fan and the motors off.
  Print& finish();

  std::string gcode(const Writing& writing = {}) const;

 private:
  struct ArcStep {
    PlanePoint center;
    bool clockwise = false;
  };
  struct Step {
    std::string verbatim;  ///< alone where it is not empty
    PlanePoint from;
    PlanePoint to;
    double z = 0;
    std::int64_t filament_10nm = 0;
    double speed_mm_per_s = 0;
    bool in_plane = false;
    bool vertical = false;
    std::optional<ArcStep> arc;
  };
  class Writer;

  void lay(PlanePoint to, double length_mm, std::optional<ArcStep> arc);
  void feed(std::int64_t filament_10nm);
  void go_to_height(double z);

  PrintStyle style_;
  std::vector<Step> steps_;
  PlanePoint at_;
  double z_ = 0;
  double layer_z_ = 0;
  double layer_height_ = 0;
  std::int64_t owed_10nm_ = 0;
};

/// A print that is ready to lay its first layer.
Print print(const PrintStyle& style = {});

/// Whole numbers from a seed, the same on every machine (splitmix64; Steele, Lea and Flood 2014, doi
/// 10.1145/2660193.2660195).
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : state_(seed) {}
  /// From 0 up to, not including, `sides`.
  std::uint64_t roll(std::uint64_t sides);

 private:
  std::uint64_t state_;
};

}  // namespace beadwise::tests
