#include "model/fill_meter.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <string>

#include "support/near.hpp"
#include "support/print.hpp"
#include "support/stacked.hpp"

using namespace beadwise;
using beadwise::tests::Dice;
using beadwise::tests::for_each_stack;
using beadwise::tests::near;
using beadwise::tests::Print;
using beadwise::tests::print;
using beadwise::tests::rectangle;

namespace {

// 0.45 mm wide and 0.2 mm high: such lines fill all there is 0.45 − 0.2 (1 − π/4) = 0.407 mm apart.
constexpr double width_mm = 0.45;
constexpr double full_mm = 0.407;
constexpr int lines = 40;

/// A box with one wall and strokes along X inside it, so far apart, `more_mm` farther before the 20th. The first one
/// touches the wall; `short_mm` is left before the wall after the last.
void box(Print& job, double pitch_mm, double more_mm = 0, double short_mm = 0) {
  const double depth_mm = 2 * full_mm + (lines - 1) * pitch_mm + more_mm + short_mm;
  job.perimeter(rectangle(20, depth_mm, {100, 100}));
  double y = 100 + full_mm;
  job.travel_to(100 + full_mm, y).prime();
  for (int i = 0; i < lines; ++i) {
    if (i > 0) y += pitch_mm + (i == lines / 2 ? more_mm : 0);
    const bool forward = i % 2 == 0;
    if (i > 0) job.bead_to({forward ? 100 + full_mm : 120 - full_mm, y});
    job.bead_to({forward ? 120 - full_mm : 100 + full_mm, y});
  }
}

/// The island with fill; fill that does not touch its wall is an island of its own.
const FillRegion& filled(const FillMeter& meter) {
  const auto region =
      std::find_if(meter.regions().begin(), meter.regions().end(), [](const FillRegion& one) { return one.has_fill; });
  REQUIRE(region != meter.regions().end());
  return *region;
}

void first_layer(Print& job, const std::function<void(const FillMeter&, const LayerStack&)>& look) {
  FillMeter meter(0.3, 10);
  bool seen = false;
  for_each_stack(job.finish().gcode(), [&](const LayerStack& stack) {
    if (!meter.measure(stack) || !stack.layer.layer.on_plate) return;
    seen = true;
    look(meter, stack);
  });
  CHECK(seen);
}

}  // namespace

TEST_CASE("lines a distance p apart and w wide leave (p − w) / p open") {
  for (const double pitch_mm : {0.407, 0.45, 0.46, 0.48, 0.55, 0.7}) {
    CAPTURE(pitch_mm);
    Print job = print().layer(0.2);
    box(job, pitch_mm);
    first_layer(job, [&](const FillMeter& meter, const LayerStack&) {
      const FillRegion& region = filled(meter);
      CHECK(near(region.pitch_mm2 / region.pitch_mm, pitch_mm, 1e-3));
      CHECK(near(region.width_mm2 / region.length_mm, width_mm, 1e-3));
      CHECK(near(region.rim_mm2, 0, 1e-9));
      // One of the forty strips is the one to the walls, which is closed.
      const double strips = (lines - 1) * std::max(0.0, pitch_mm - width_mm);
      const double open = strips / (lines * pitch_mm);
      CHECK(near(region.open_mm2() / region.area_mm2, open, 0.006));
    });
  }
}

TEST_CASE("what is fed less makes narrower beads: 10 % less still closes what lies full, 25 % less does not") {
  for (const double flow : {1.0, 0.97, 0.9, 0.75}) {
    CAPTURE(flow);
    Print job = print().line("M221 S" + std::to_string(static_cast<int>(100 * flow))).layer(0.2);
    box(job, full_mm);
    first_layer(job, [&](const FillMeter& meter, const LayerStack&) {
      // A = 0.0814 mm²; w = A / h + h (1 − π/4).
      const double width = flow * 0.0814159 / 0.2 + 0.2 * 0.2146018;
      const double open = std::max(0.0, full_mm - width) / full_mm;
      const FillRegion& region = filled(meter);
      CHECK(near(region.open_mm2() / region.area_mm2, open, 0.006));
    });
  }
}

TEST_CASE("one slit is found once, with its length and width") {
  Print job = print().layer(0.2);
  box(job, full_mm, 0.2);
  first_layer(job, [](const FillMeter& meter, const LayerStack&) {
    REQUIRE(meter.slits().size() == 1);
    const FillSlit& slit = meter.slits()[0];
    CHECK(near(slit.gap_mm, 0.2 + full_mm - width_mm, 2e-3));
    // The lines are 19.186 mm long; a width at each end is not looked at.
    CHECK(near(slit.length_mm, 20 - 2 * full_mm - 2 * width_mm, 0.05));
    CHECK(near(slit.at.y, 100 + full_mm + (lines / 2 - 0.5) * full_mm + 0.1, 2e-3));
    CHECK_FALSE(slit.along_wall);
    CHECK(near(filled(meter).between_mm2, slit.gap_mm * (20 - 2 * full_mm), 0.02));
  });
}

TEST_CASE("a slit before the wall is the wall's") {
  Print job = print().layer(0.2);
  box(job, full_mm, 0, 0.2);
  first_layer(job, [](const FillMeter& meter, const LayerStack&) {
    REQUIRE(meter.slits().size() == 1);
    CHECK(meter.slits()[0].along_wall);
    CHECK_FALSE(meter.slits()[0].between_walls);
    CHECK(near(filled(meter).rim_mm2, (0.2 + full_mm - width_mm) * (20 - 2 * full_mm), 0.02));
    CHECK(near(filled(meter).between_mm2, 0, 1e-9));
  });
}

TEST_CASE("a gap as wide as a bead is a hole of the part") {
  Print job = print().layer(0.2);
  box(job, full_mm, 0.5);
  first_layer(job, [](const FillMeter& meter, const LayerStack&) {
    CHECK(meter.slits().empty());
    CHECK(near(filled(meter).open_mm2(), 0, 1e-9));
  });
}

TEST_CASE("the open share is the same in every direction, counted on a fine grid") {
  Dice dice(7);
  for (int round = 0; round < 6; ++round) {
    const double angle = static_cast<double>(dice.roll(180)) * 3.14159265 / 180;
    const double pitch_mm = 0.46 + 0.01 * static_cast<double>(dice.roll(25));
    CAPTURE(angle);
    CAPTURE(pitch_mm);
    const double c = std::cos(angle);
    const double s = std::sin(angle);
    const auto turned = [&](double x, double y) { return tests::PlanePoint{120 + c * x - s * y, 120 + s * x + c * y}; };
    Print job = print().layer(0.2);
    const double half_mm = (lines - 1) * pitch_mm / 2;
    const double wall_mm = half_mm + full_mm;
    job.perimeter({turned(-10, -wall_mm), turned(10, -wall_mm), turned(10, wall_mm), turned(-10, wall_mm)});
    for (int i = 0; i < lines; ++i) {
      const double y = -half_mm + i * pitch_mm;
      const double x = (i % 2 == 0 ? 1 : -1) * (10 - full_mm);
      if (i == 0) job.travel_to(turned(-x, y).x, turned(-x, y).y);
      job.bead_to(turned(-x, y)).bead_to(turned(x, y));
    }
    first_layer(job, [&](const FillMeter& meter, const LayerStack& stack) {
      int open = 0;
      int all = 0;
      for (double x = -8; x < 8; x += 0.05)
        for (double y = -half_mm; y < half_mm; y += 0.01, ++all)
          if (const auto place = turned(x, y); !stack.layer.index.covers({place.x, place.y})) ++open;
      const FillRegion& region = filled(meter);
      CHECK(near(region.between_mm2 / region.area_mm2, static_cast<double>(open) / all, 0.01));
    });
  }
}

TEST_CASE("tops are looked at where one sees them, with comments and without") {
  for (const bool says : {false, true}) {
    CAPTURE(says);
    Print job = print();
    for (int layer = 1; layer <= 3; ++layer) {
      job.layer(0.2);
      if (says) job.line("; solid infill");
      box(job, 0.5);
    }
    FillMeter meter(0.3, 10);
    std::string looked_at;
    for_each_stack(job.finish().gcode(), [&](const LayerStack& stack) {
      if (!meter.measure(stack)) return;
      for (const FillRegion& region : meter.regions())
        if (region.area_mm2 > 0) looked_at += std::to_string(stack.layer.layer.number);
    });
    CHECK(looked_at == "13");
  }
}
