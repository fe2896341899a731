#include "support/print.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>

namespace beadwise::tests {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double filament_unit_mm = 1e-5;
constexpr double mm_per_inch = 25.4;
constexpr double chord_tolerance_mm = 0.002;

double to_micrometre(double mm) { return std::round(mm * 1000) / 1000; }

PlanePoint to_micrometre(PlanePoint point) { return {to_micrometre(point.x), to_micrometre(point.y)}; }

double distance(PlanePoint a, PlanePoint b) { return std::hypot(b.x - a.x, b.y - a.y); }

/// Signed angle of the arc from `from` to `to`; a full turn where both are the same.
double sweep_rad(PlanePoint from, PlanePoint to, PlanePoint center, bool clockwise) {
  const double start = std::atan2(from.y - center.y, from.x - center.x);
  double sweep = std::atan2(to.y - center.y, to.x - center.x) - start;
  if (clockwise && sweep >= 0) sweep -= 2 * pi;
  if (!clockwise && sweep <= 0) sweep += 2 * pi;
  return sweep;
}

}  // namespace

Outline rectangle(double width_mm, double depth_mm, PlanePoint low) {
  return {low, {low.x + width_mm, low.y}, {low.x + width_mm, low.y + depth_mm}, {low.x, low.y + depth_mm}};
}

Outline square(double side_mm, PlanePoint low) { return rectangle(side_mm, side_mm, low); }

/// Puts the steps into words.
class Print::Writer {
 public:
  explicit Writer(const Writing& writing) : writing_(writing) {}

  void head() {
    line(writing_.inches ? "G20" : "G21");
    line("G90");
    line(writing_.relative_e ? "M83" : "M82");
    line("G92 E0");
  }

  void line(std::string_view text) {
    text_ += text;
    text_ += writing_.line_end;
  }

  void step(const Step& step) {
    if (!step.verbatim.empty()) return line(step.verbatim);
    if (!step.arc) return motion(step.filament_10nm != 0 ? "G1" : "G0", step, step.to, step.filament_10nm, "");
    if (writing_.arcs_as_chords) return chords(step);
    const std::string center =
        length('I', step.arc->center.x - step.from.x) + length('J', step.arc->center.y - step.from.y);
    motion(step.arc->clockwise ? "G2" : "G3", step, step.to, step.filament_10nm, center);
  }

  std::string take() { return std::move(text_); }

 private:
  std::string length(char letter, double mm) const {
    return writing_.inches ? fmt::format(" {}{:.6f}", letter, mm / mm_per_inch) : fmt::format(" {}{:.5f}", letter, mm);
  }

  void motion(std::string_view command, const Step& step, PlanePoint to, std::int64_t filament_10nm,
              const std::string& center) {
    std::string words(command);
    if (step.in_plane) words += length('X', to.x) + length('Y', to.y);
    if (step.vertical) words += length('Z', step.z);
    words += center;
    fed_10nm_ += filament_10nm;
    const std::int64_t e_10nm = writing_.relative_e ? filament_10nm : fed_10nm_;
    if (filament_10nm != 0) words += length('E', static_cast<double>(e_10nm) * filament_unit_mm);
    words += length('F', step.speed_mm_per_s * 60);
    line(words);
  }

  void chords(const Step& step) {
    const PlanePoint center = step.arc->center;
    const double radius = distance(center, step.from);
    const double start = std::atan2(step.from.y - center.y, step.from.x - center.x);
    const double sweep = sweep_rad(step.from, step.to, center, step.arc->clockwise);
    const double chord_rad = 2 * std::acos(1 - chord_tolerance_mm / radius);
    const auto count = static_cast<std::int64_t>(std::ceil(std::fabs(sweep) / chord_rad));
    std::int64_t laid_10nm = 0;
    for (std::int64_t index = 1; index <= count; ++index) {
      const double angle = start + sweep * static_cast<double>(index) / static_cast<double>(count);
      const PlanePoint on_arc{center.x + radius * std::cos(angle), center.y + radius * std::sin(angle)};
      const std::int64_t until_10nm = step.filament_10nm * index / count;
      motion("G1", step, index == count ? step.to : on_arc, until_10nm - laid_10nm, "");
      laid_10nm = until_10nm;
    }
  }

  Writing writing_;
  std::string text_;
  std::int64_t fed_10nm_ = 0;
};

Print& Print::start() {
  line("G28");
  line(fmt::format("M190 S{}", style_.bed_c));
  line(fmt::format("M109 S{}", style_.nozzle_c));
  return *this;
}

Print& Print::layer(double height_mm) {
  layer_height_ = to_micrometre(height_mm);
  layer_z_ = to_micrometre(layer_z_ + layer_height_);
  go_to_height(layer_z_);
  return *this;
}

Print& Print::perimeter(const Outline& outline) {
  travel_to(outline.front().x, outline.front().y);
  prime();
  for (std::size_t corner = 1; corner < outline.size(); ++corner) bead_to(outline[corner]);
  return bead_to(outline.front());
}

Print& Print::fill(double width_mm, double depth_mm, PlanePoint low, double spacing_mm) {
  travel_to(low.x, low.y);
  prime();
  const auto lines = static_cast<int>(depth_mm / spacing_mm);
  for (int index = 0; index <= lines; ++index) {
    const double y = low.y + index * spacing_mm;
    const bool forward = index % 2 == 0;
    if (index > 0) bead_to({forward ? low.x : low.x + width_mm, y});
    bead_to({forward ? low.x + width_mm : low.x, y});
  }
  return *this;
}

Print& Print::ring(double radius_mm, PlanePoint center) {
  travel_to(center.x + radius_mm, center.y);
  prime();
  arc_bead_to({center.x - radius_mm, center.y}, center, false);
  return arc_bead_to({center.x + radius_mm, center.y}, center, false);
}

Print& Print::bead_to(PlanePoint to) {
  to = to_micrometre(to);
  lay(to, distance(at_, to), std::nullopt);
  return *this;
}

Print& Print::arc_bead_to(PlanePoint to, PlanePoint center, bool clockwise) {
  to = to_micrometre(to);
  center = to_micrometre(center);
  lay(to, distance(at_, center) * std::fabs(sweep_rad(at_, to, center, clockwise)),
      ArcStep{.center = center, .clockwise = clockwise});
  return *this;
}

/// A bead is a rounded rectangle; what it holds comes from the filament.
void Print::lay(PlanePoint to, double length_mm, std::optional<ArcStep> arc) {
  const double h = layer_height_;
  const double bead_mm2 = (style_.width_mm - h) * h + pi * h * h / 4;
  const double filament_mm2 = pi * style_.filament_diameter_mm * style_.filament_diameter_mm / 4;
  Step step;
  step.from = at_;
  step.to = to;
  step.z = z_;
  step.filament_10nm = std::llround(length_mm * bead_mm2 / filament_mm2 / filament_unit_mm);
  step.speed_mm_per_s = style_.bead_speed_mm_per_s;
  step.in_plane = true;
  step.arc = arc;
  steps_.push_back(step);
  at_ = to;
}

Print& Print::travel_to(double x, double y) {
  Step step;
  step.from = at_;
  step.to = to_micrometre({x, y});
  step.z = z_;
  step.speed_mm_per_s = style_.travel_speed_mm_per_s;
  step.in_plane = true;
  steps_.push_back(step);
  at_ = step.to;
  return *this;
}

void Print::feed(std::int64_t filament_10nm) {
  Step step;
  step.from = at_;
  step.to = at_;
  step.z = z_;
  step.filament_10nm = filament_10nm;
  step.speed_mm_per_s = style_.retraction_speed_mm_per_s;
  steps_.push_back(step);
}

Print& Print::retract() { return retract(style_.retraction_mm); }

Print& Print::retract(double length_mm) {
  if (owed_10nm_ > 0) return *this;
  owed_10nm_ = std::llround(length_mm / filament_unit_mm);
  feed(-owed_10nm_);
  return *this;
}

Print& Print::prime() {
  if (owed_10nm_ == 0) return *this;
  feed(owed_10nm_);
  owed_10nm_ = 0;
  return *this;
}

void Print::go_to_height(double z) {
  Step step;
  step.from = at_;
  step.to = at_;
  step.z = z;
  step.speed_mm_per_s = style_.travel_speed_mm_per_s / 4;
  step.vertical = true;
  steps_.push_back(step);
  z_ = z;
}

Print& Print::lift(double height_mm) {
  go_to_height(to_micrometre(layer_z_ + height_mm));
  return *this;
}

Print& Print::lower() {
  go_to_height(layer_z_);
  return *this;
}

Print& Print::line(std::string_view text) {
  Step step;
  step.verbatim = text;
  steps_.push_back(step);
  return *this;
}

Print& Print::finish() {
  retract().lift(10);
  return line("M107").line("M104 S0").line("M140 S0").line("M84");
}

std::string Print::gcode(const Writing& writing) const {
  Writer writer(writing);
  writer.head();
  for (const Step& step : steps_) writer.step(step);
  return writer.take();
}

Print print(const PrintStyle& style) {
  Print begun(style);
  begun.start();
  return begun;
}

std::uint64_t Dice::roll(std::uint64_t sides) {
  state_ += 0x9e3779b97f4a7c15U;
  std::uint64_t mixed = state_;
  mixed = (mixed ^ (mixed >> 30)) * 0xbf58476d1ce4e5b9U;
  mixed = (mixed ^ (mixed >> 27)) * 0x94d049bb133111ebU;
  return (mixed ^ (mixed >> 31)) % sides;
}

}  // namespace beadwise::tests
