#include "property/orchard_plate.hpp"

#include <fmt/format.h>

#include <cmath>

namespace beadwise::tests {

namespace {

constexpr double layer_height_mm = 0.2;
constexpr double bead_width_mm = 0.45;
constexpr double rounding_mm = 1e-9;

/// Things that may be wrong with a plate.
struct Faults {
  bool never_homed = false;
  bool never_heated = false;
  bool nozzle_left_on = false;
  bool homes_again = false;
  bool chews_filament = false;
  bool arc_that_cannot_be = false;
  bool unread_words = false;
  bool wrong_checksum = false;
  bool cut_off = false;
};

Faults roll_faults(Dice& dice) {
  const auto sometimes = [&] { return dice.roll(3) == 0; };
  return {.never_homed = sometimes(),
          .never_heated = sometimes(),
          .nozzle_left_on = sometimes(),
          .homes_again = sometimes(),
          .chews_filament = sometimes(),
          .arc_that_cannot_be = sometimes(),
          .unread_words = sometimes(),
          .wrong_checksum = sometimes(),
          .cut_off = sometimes()};
}

double some(Dice& dice, double least_mm, std::uint64_t steps) {
  return least_mm + static_cast<double>(dice.roll(steps));
}

/// Where a part stands on the plate and how large it is.
struct Part {
  PlanePoint low;
  double width_mm = 0;
  double depth_mm = 0;
  bool ring = false;
};

std::vector<Part> roll_parts(Dice& dice) {
  std::vector<Part> parts;
  const std::uint64_t count = 1 + dice.roll(3);
  for (std::uint64_t index = 0; index < count; ++index) {
    Part part;
    part.low = {20 + 50 * static_cast<double>(index), some(dice, 20, 40)};
    part.width_mm = some(dice, 12, 20);
    part.depth_mm = some(dice, 6, 10);
    part.ring = dice.roll(2) == 0;
    parts.push_back(part);
  }
  return parts;
}

void lay(Print& print, const Part& part) {
  if (part.ring) {
    const PlanePoint center{part.low.x + 15, part.low.y + 15};
    print.ring(8, center).ring(7.55, center);
    return;
  }
  print.perimeter(rectangle(part.width_mm, part.depth_mm, part.low));
  const PlanePoint inside{part.low.x + 0.45, part.low.y + 0.45};
  print.perimeter(rectangle(part.width_mm - 0.9, part.depth_mm - 0.9, inside));
  // Lines no farther apart than beads are wide, so that the last one touches the wall.
  const double depth_mm = part.depth_mm - 4 * bead_width_mm;
  const double spacing_mm = depth_mm / std::ceil(depth_mm / bead_width_mm) - rounding_mm;
  print.fill(part.width_mm - 1.8, depth_mm, {part.low.x + 0.9, part.low.y + 0.9}, spacing_mm);
}

/// Short strokes side by side, each between two retractions.
void chew(Print& print, PlanePoint at) {
  for (int stroke = 0; stroke < 40; ++stroke) {
    const double x = at.x + bead_width_mm * stroke;
    print.retract().travel_to(x, at.y).prime();
    print.bead_to({x, at.y + 0.4});
  }
}

void begin(Print& print, const Faults& faults) {
  if (!faults.never_homed) print.line("G28");
  if (faults.never_heated) return;
  print.line("M190 S60").line("M109 S210");
}

void end(Print& print, const Faults& faults) {
  if (faults.cut_off) return;
  print.retract().lift(10).line("M107");
  if (!faults.nozzle_left_on) print.line("M104 S0");
  print.line("M140 S0").line("M84");
}

Print build(Dice& dice, const Faults& faults) {
  Print print;
  begin(print, faults);
  const std::vector<Part> parts = roll_parts(dice);
  const std::uint64_t layers = 3 + dice.roll(5);
  for (std::uint64_t layer = 1; layer <= layers; ++layer) {
    print.line(fmt::format("; next height, {} of {}", layer, layers)).layer(layer_height_mm);
    if (layer == 2) print.line("M106 S255");
    for (const Part& part : parts) {
      print.retract().lift(0.4).travel_to(part.low.x, part.low.y).lower().prime();
      lay(print, part);
    }
    if (layer != 2) continue;
    if (faults.homes_again) print.line("G28 X Y");
    if (faults.chews_filament) chew(print, {20, 10});
    if (faults.arc_that_cannot_be) print.travel_to(60, 100).arc_bead_to({80, 100}, {65, 100}, true);
    if (faults.unread_words) print.line("M104 S{nozzle}").line("M106 S?fan?");
    if (faults.wrong_checksum) print.line("N40 M106 S200*1");
  }
  end(print, faults);
  return print;
}

}  // namespace

Print orchard_plate(std::uint64_t seed) {
  Dice dice(seed);
  const Faults faults = roll_faults(dice);
  return build(dice, faults);
}

Print sound_plate(std::uint64_t seed) {
  Dice dice(seed);
  return build(dice, {});
}

}  // namespace beadwise::tests
