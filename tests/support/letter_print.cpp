#include "support/letter_print.hpp"

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <set>

namespace beadwise::tests {

namespace {

constexpr double mm_per_min_per_mm_per_s = 60;
constexpr double retraction_mm_per_s = 40;
constexpr double z_mm_per_s = 10;
constexpr double parked_above_mm = 10;

double to_micrometre(double mm) { return std::round(mm * 1000) / 1000; }

const char* words_for(LaidPart part) {
  switch (part) {
    case LaidPart::stroke:
      return "outer perimeter";
    case LaidPart::outline:
      return "outer perimeter";
    case LaidPart::inner:
      return "inner perimeter";
    case LaidPart::gap:
      return "gap fill";
    case LaidPart::fill:
      return "solid infill";
  }
  return "";
}

class LetterWriter {
 public:
  explicit LetterWriter(const LetterWriting& writing) : writing_(writing) {}

  void start() { text_ += "G21\nG90\nM83\nG28\nM190 S60\nM109 S210\nG92 E0\n"; }

  void layer(const LaidLayer& layer, std::size_t number) {
    height_mm_ = layer.height_mm;
    z_mm_ = to_micrometre(z_mm_ + height_mm_);
    comment(fmt::format("layer {} at {:.3f} mm", number, z_mm_));
    pull_back();
    to_height(z_mm_ + writing_.lift_mm);
    lifted_ = writing_.lift_mm > 0;
    said_.clear();
    if (number == 2) text_ += "M106 S255\n";
    for (const ToolTracks& tool : layer.tools) {
      take(tool.tool);
      for (const LaidTrack& track : tool.tracks) lay(track);
    }
  }

  void finish() {
    pull_back();
    to_height(z_mm_ + parked_above_mm);
    text_ += "M107\nM104 S0\nM140 S0\nM84\n";
  }

  std::string take() { return std::move(text_); }

 private:
  void comment(const std::string& words) {
    if (writing_.comments) text_ += "; " + words + '\n';
  }

  void to_height(double z_mm) {
    text_ += fmt::format("G0 Z{:.3f} F{:.0f}\n", z_mm, z_mm_per_s * mm_per_min_per_mm_per_s);
  }

  void feed(double filament_mm) {
    text_ += fmt::format("G1 E{:.5f} F{:.0f}\n", filament_mm, retraction_mm_per_s * mm_per_min_per_mm_per_s);
  }

  void pull_back() {
    if (pulled_ || writing_.retraction_mm <= 0) return;
    feed(-writing_.retraction_mm);
    pulled_ = true;
  }

  void take(int tool) {
    if (tool == tool_) return;
    pull_back();
    text_ += fmt::format("T{}\n", tool);
    tool_ = tool;
    // What is owed is the tool's own; a fresh one owes nothing.
    pulled_ = !used_tools_.insert(tool).second && writing_.retraction_mm > 0;
  }

  void travel_to(PlanePoint to) {
    if (std::hypot(to.x - at_.x, to.y - at_.y) >= writing_.least_retracted_mm) {
      pull_back();
      if (writing_.lift_mm > 0 && !lifted_) to_height(z_mm_ + writing_.lift_mm);
      lifted_ = writing_.lift_mm > 0;
    }
    text_ +=
        fmt::format("G0 X{:.3f} Y{:.3f} F{:.0f}\n", to.x, to.y, writing_.travel_mm_per_s * mm_per_min_per_mm_per_s);
    if (lifted_) to_height(z_mm_);
    if (pulled_) feed(writing_.retraction_mm);
    lifted_ = false;
    pulled_ = false;
    at_ = to;
  }

  void lay(const LaidTrack& track) {
    travel_to({to_micrometre(track.beads.front().from.x), to_micrometre(track.beads.front().from.y)});
    if (said_ != words_for(track.part)) comment(said_ = words_for(track.part));
    text_ += fmt::format("G1 F{:.0f}\n", writing_.bead_mm_per_s * mm_per_min_per_mm_per_s);
    for (const LaidBead& bead : track.beads) {
      const PlanePoint to{to_micrometre(bead.to.x), to_micrometre(bead.to.y)};
      // Filament for the path as it is written, so that rounding changes no width.
      const double length_mm = std::hypot(to.x - at_.x, to.y - at_.y);
      if (length_mm == 0) continue;
      text_ += fmt::format("G1 X{:.3f} Y{:.3f} E{:.6f}\n", to.x, to.y, length_mm * filament_per_mm(bead.width_mm));
      at_ = to;
    }
  }

  /// A bead is a rectangle with round sides, or where it is narrower than high a round strand of that diameter.
  double filament_per_mm(double width_mm) const {
    const double h = height_mm_;
    const double pi = std::numbers::pi;
    const double bead_mm2 = width_mm >= h ? (width_mm - h) * h + pi * h * h / 4 : pi * width_mm * width_mm / 4;
    return bead_mm2 / (pi * writing_.filament_diameter_mm * writing_.filament_diameter_mm / 4);
  }

  LetterWriting writing_;
  std::string text_;
  std::string said_;
  std::set<int> used_tools_{0};
  PlanePoint at_;
  double z_mm_ = 0;
  double height_mm_ = 0;
  int tool_ = 0;
  bool pulled_ = false;
  bool lifted_ = false;
};

}  // namespace

std::string letter_gcode(const std::vector<LaidLayer>& layers, const LetterWriting& writing) {
  LetterWriter writer(writing);
  writer.start();
  for (std::size_t i = 0; i < layers.size(); ++i) writer.layer(layers[i], i + 1);
  writer.finish();
  return writer.take();
}

}  // namespace beadwise::tests
