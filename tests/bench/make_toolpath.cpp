// Writes a made-up but typical toolpath of about the size asked for: perimeters, fills, travels, retractions, lifts and
// comments. Its numbers mean nothing; its lines are like those of real files.
//
//   make_toolpath MEGABYTES [ordinary|travels|short|text|one-layer|small-layers|large-layers|1000-letters|5000-letters]
//   [relative|absolute] > FILE

#include <fmt/format.h>

#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <iterator>
#include <numbers>
#include <string>
#include <string_view>

namespace {

struct Kind {
  double facet_mm = 0.9;  // length of a curve's facets
  double fill_spacing_mm = 0.45;
  int islands = 4;
  int columns = 8;
  bool comment_each_line = false;
  bool one_layer = false;
  bool letters = false;
};

Kind kind_named(std::string_view name) {
  Kind kind;
  if (name == "travels") {
    kind.islands = 60;
    kind.fill_spacing_mm = 3;
  } else if (name == "short") {
    kind.facet_mm = 0.05;
    kind.fill_spacing_mm = 20;
  } else if (name == "text") {
    kind.comment_each_line = true;
  } else if (name == "one-layer") {
    kind.one_layer = true;
  } else if (name == "small-layers") {
    kind.islands = 11;  // 2,000 beads
  } else if (name == "large-layers") {
    kind.islands = 1100;  // 200,000 beads
    kind.columns = 34;
  } else if (name == "1000-letters" || name == "5000-letters") {
    kind.islands = name == "1000-letters" ? 1000 : 5000;
    kind.columns = 50;
    kind.letters = true;
  }
  return kind;
}

class Toolpath {
 public:
  Toolpath(std::size_t bytes, const Kind& kind, bool relative) : bytes_(bytes), kind_(kind), relative_(relative) {}

  void write() {
    add("G21\nG90\n{}\nM140 S60\nM104 S210\nG28\nM190 S60\nM109 S210\nG92 E0\n", relative_ ? "M83" : "M82");
    for (int layer = 1; written_ < bytes_; ++layer) write_layer(layer);
    add("M104 S0\nM140 S0\nM107\nG91\nG1 Z10 F600\nG90\nM84\n");
    flush();
  }

 private:
  template <class... Args>
  void add(fmt::format_string<Args...> format, Args&&... args) {
    fmt::format_to(std::back_inserter(text_), format, std::forward<Args>(args)...);
    constexpr std::size_t chunk = 1 << 20;
    if (text_.size() > chunk) flush();
  }

  void flush() {
    std::fwrite(text_.data(), 1, text_.size(), stdout);
    written_ += text_.size();
    text_.clear();
  }

  void write_layer(int layer) {
    const double z = kind_.one_layer ? 0.2 : 0.2 * layer;
    add("; layer {}\nG1 Z{:.3f} F1200\n", layer, z);
    if (layer == 2) add("M106 S255\n");
    if (!relative_) add("G92 E0\n"), e_ = 0;
    for (int i = 0; kind_.letters && i < kind_.islands; ++i)
      letter(10 + 4.5 * (i % kind_.columns), 10 + 6.0 * (i / kind_.columns), z, i);
    if (kind_.letters) return;
    for (int i = 0; i < kind_.islands; ++i) {
      const double x = 30 + 25.0 * (i % kind_.columns);
      const double y = 30 + 25.0 * (i / kind_.columns % kind_.columns) + (kind_.one_layer ? 0.001 * layer : 0);
      travel_to(x + 9, y, z);
      add("; outer perimeter\n");
      for (int loop = 0; loop < 2; ++loop) ring(x, y, 9 - 0.45 * loop + 0.3 * std::sin(0.01 * layer), 1800);
      add("; infill\n");
      fill(x, y, 7.5);
    }
  }

  /// One of A E K N T Z H L, 3.5 mm high, its strokes apart by blanks: columns and rows of a grid.
  void letter(double x, double y, double z, int which) {
    constexpr std::string_view shapes[] = {"002540 1333", "40000545 0333", "0005 450240",    "00054045",
                                           "2025 0545",   "05450040",      "0005 4045 0343", "050030"};
    constexpr double step_mm = 0.7;
    const std::string_view shape = shapes[which % 8];
    for (std::size_t at = 0; at + 1 < shape.size(); at += shape[at] == ' ' ? 1 : 2) {
      if (shape[at] == ' ') continue;
      const double to_x = x + step_mm * (shape[at] - '0');
      const double to_y = y + step_mm * (shape[at + 1] - '0');
      if (at == 0 || shape[at - 1] == ' ')
        travel_to(to_x, to_y, z);
      else
        bead_to(to_x, to_y);
    }
  }

  void travel_to(double x, double y, double z) {
    feed(-0.8, 2400);
    add("G1 Z{:.3f} F1200\nG0 X{:.3f} Y{:.3f} F9000\nG1 Z{:.3f} F1200\n", z + 0.2, x, y, z);
    feed(0.8, 2400);
    x_ = x;
    y_ = y;
  }

  void feed(double length_mm, double feedrate) {
    e_ = relative_ ? length_mm : e_ + length_mm;
    add("G1 E{:.5f} F{}\n", e_, feedrate);
  }

  void bead_to(double x, double y) {
    constexpr double filament_per_mm = 0.0338488;  // a bead of 0.45 mm by 0.2 mm from 1.75 mm filament
    const double length_mm = std::hypot(x - x_, y - y_) * filament_per_mm;
    e_ = relative_ ? length_mm : e_ + length_mm;
    add("G1 X{:.3f} Y{:.3f} E{:.5f}", x, y, e_);
    if (kind_.comment_each_line) add(" ; a bead of the wall of the crate, {:.2f} mm long", length_mm);
    add("\n");
    x_ = x;
    y_ = y;
  }

  void ring(double x, double y, double radius_mm, double feedrate) {
    const int facets = static_cast<int>(2 * std::numbers::pi * radius_mm / kind_.facet_mm);
    add("G1 F{}\n", feedrate);
    for (int i = 1; i <= facets; ++i) {
      const double angle = 2 * std::numbers::pi * i / facets;
      bead_to(x + radius_mm * std::cos(angle), y + radius_mm * std::sin(angle));
    }
  }

  void fill(double x, double y, double half_mm) {
    add("G1 F3600\n");
    bool up = true;
    for (double across = -half_mm; across <= half_mm; across += kind_.fill_spacing_mm, up = !up) {
      const double reach = std::sqrt(std::max(0.01, 56.25 - across * across));
      bead_to(x + across, y + (up ? -reach : reach));
      bead_to(x + across, y + (up ? reach : -reach));
    }
  }

  std::size_t bytes_;
  Kind kind_;
  bool relative_;
  std::string text_;
  std::size_t written_ = 0;
  double x_ = 0;
  double y_ = 0;
  double e_ = 0;
};

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fputs(
        "usage: make_toolpath MEGABYTES "
        "[ordinary|travels|short|text|one-layer|small-layers|large-layers|1000-letters|5000-letters] "
        "[relative|absolute]\n",
        stderr);
    return 2;
  }
  const auto bytes = static_cast<std::size_t>(std::atof(argv[1]) * 1e6);
  const bool relative = argc > 3 ? std::string_view(argv[3]) == "relative" : true;
  Toolpath(bytes, kind_named(argc > 2 ? argv[2] : "ordinary"), relative).write();
}
