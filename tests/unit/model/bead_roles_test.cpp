#include "model/bead_roles.hpp"

#include <doctest/doctest.h>

#include <cstdint>
#include <functional>

#include "support/print.hpp"
#include "support/stacked.hpp"

using namespace beadwise;
using beadwise::tests::for_each_stack;
using beadwise::tests::Print;
using beadwise::tests::print;
using beadwise::tests::square;

namespace {

// Beads 0.45 mm wide and 0.2 mm high touch fully at 0.45 − 0.2 (1 − π/4) = 0.407 mm.
constexpr double pitch_mm = 0.407;
constexpr double low_mm = 100;
constexpr double side_mm = 20;

/// Walls of a square box from outside to inside.
void walls(Print& job, int count, double side = side_mm, PlanePoint low = {low_mm, low_mm}) {
  for (int i = 0; i < count; ++i)
    job.perimeter(square(side - 2 * i * pitch_mm, {low.x + i * pitch_mm, low.y + i * pitch_mm}));
}

/// Strokes that fill the square inside so many walls.
void strokes(Print& job, int wall_count, double spacing_mm, double side = side_mm, PlanePoint low = {low_mm, low_mm}) {
  const double inset_mm = wall_count * pitch_mm;
  job.fill(side - 2 * inset_mm, side - 2 * inset_mm, {low.x + inset_mm, low.y + inset_mm}, spacing_mm);
}

/// Length of the layer's beads with a role, mm.
double length_as(const IndexedLayer& layer, BeadRole role) {
  double length_mm = 0;
  for (std::size_t i = 0; i < layer.roles.size(); ++i)
    if (layer.roles[i] == role) length_mm += layer.layer.beads[i].path_mm;
  return length_mm;
}

BeadRole role_of_track(const IndexedLayer& layer, std::size_t track) { return layer.roles[layer.tracks[track].first]; }

void only_layer(Print& job, std::uint32_t number, const std::function<void(const LayerStack&)>& look) {
  bool seen = false;
  for_each_stack(job.finish().gcode(), [&](const LayerStack& stack) {
    if (stack.layer.layer.number != number) return;
    seen = true;
    look(stack);
  });
  CHECK(seen);
}

}  // namespace

TEST_CASE("a box without comments: outer wall, inner walls, sparse fill, solid fill below and on top") {
  Print job = print();
  for (int layer = 1; layer <= 5; ++layer) {
    job.layer(0.2);
    walls(job, 2);
    strokes(job, 2, layer == 3 ? 4.0 : pitch_mm);
  }
  for_each_stack(job.finish().gcode(), [](const LayerStack& stack) {
    const IndexedLayer& layer = stack.layer;
    REQUIRE(layer.tracks.size() == 3);
    CHECK(role_of_track(layer, 0) == BeadRole::outer_perimeter);
    CHECK(role_of_track(layer, 1) == BeadRole::perimeter);
    CHECK(layer.tracks[0].boundary);
    CHECK_FALSE(layer.tracks[1].boundary);
    constexpr BeadRole fill[] = {BeadRole::bottom, BeadRole::solid_infill, BeadRole::infill, BeadRole::solid_infill,
                                 BeadRole::top};
    CHECK(role_of_track(layer, 2) == fill[layer.layer.number - 1]);
    CHECK(inside_outline(layer, {110, 110}));
    CHECK_FALSE(inside_outline(layer, {99, 110}));
    CHECK_FALSE(inside_outline(layer, {121, 110}));
  });
}

TEST_CASE("fill that is covered in part is the top where it is seen") {
  Print job = print().layer(0.2);
  walls(job, 2);
  strokes(job, 2, pitch_mm);
  job.layer(0.2);
  walls(job, 2);
  strokes(job, 2, pitch_mm);
  // A step: only the strokes with y below 110 are covered.
  job.layer(0.2).perimeter(tests::rectangle(side_mm, side_mm / 2, {low_mm, low_mm}));
  job.fill(side_mm - 1, side_mm / 2 - 1, {low_mm + 0.5, low_mm + 0.5}, 3);
  only_layer(job, 2, [](const LayerStack& stack) {
    const double top_mm = length_as(stack.layer, BeadRole::top);
    const double hidden_mm = length_as(stack.layer, BeadRole::solid_infill);
    CHECK(top_mm > 400);
    CHECK(hidden_mm > 400);
    CHECK(length_as(stack.layer, BeadRole::bottom) == 0);
  });
}

TEST_CASE("a hole's wall is an outer perimeter and its inside is not inside the part, with walls of one bead or more") {
  for (const int wall_count : {1, 2, 3}) {
    for (const bool solid : {true, false}) {
      CAPTURE(wall_count);
      CAPTURE(solid);
      Print job = print().layer(0.2);
      walls(job, wall_count);
      // The hole's walls, from the hole outwards, and the strokes left and right of it.
      for (int i = 0; i < wall_count; ++i)
        job.perimeter(square(6 + 2 * i * pitch_mm, {107 - i * pitch_mm, 107 - i * pitch_mm}));
      const double inset_mm = wall_count * pitch_mm;
      const double spacing_mm = solid ? pitch_mm : 3;
      const double narrow_mm = 7 - 2 * inset_mm;
      for (const double x : {low_mm + inset_mm, 113 + inset_mm})
        job.fill(narrow_mm, side_mm - 2 * inset_mm, {x, low_mm + inset_mm}, spacing_mm);
      for (const double y : {low_mm + inset_mm, 113 + inset_mm})
        job.fill(6 + 2 * inset_mm, narrow_mm, {107 - inset_mm, y}, spacing_mm);
      only_layer(job, 1, [&](const LayerStack& stack) {
        const auto hole = static_cast<std::size_t>(wall_count);
        CHECK(role_of_track(stack.layer, 0) == BeadRole::outer_perimeter);
        CHECK(role_of_track(stack.layer, hole) == BeadRole::outer_perimeter);
        if (wall_count > 1) CHECK(length_as(stack.layer, BeadRole::perimeter) > (wall_count - 1) * 95);
        CHECK(inside_outline(stack.layer, {103, 110}));
        CHECK_FALSE(inside_outline(stack.layer, {110, 110}));
        CHECK(inside_outline(stack.layer, {117, 110}));
      });
    }
  }
}

TEST_CASE("nothing lies inside a vase: its wall is outline on both sides, with comments and without") {
  for (const bool says : {false, true}) {
    for (const int wall_count : {1, 2}) {
      CAPTURE(says);
      CAPTURE(wall_count);
      Print job = print().layer(0.2);
      if (says) job.line("; outer perimeter");
      walls(job, 1);
      if (says) job.line("; inner perimeter");
      if (wall_count == 2) job.perimeter(square(side_mm - 2 * pitch_mm, {low_mm + pitch_mm, low_mm + pitch_mm}));
      only_layer(job, 1, [](const LayerStack& stack) {
        CHECK(role_of_track(stack.layer, 0) == BeadRole::outer_perimeter);
        CHECK_FALSE(inside_outline(stack.layer, {110, 110}));
        CHECK(inside_outline(stack.layer, {low_mm, 110}));
      });
    }
  }
}

TEST_CASE("what the comments say holds, and a loop whose parts are named apart still bounds the part") {
  Print job = print().layer(0.2).line("; outer perimeter").travel_to(100, 100).prime();
  job.bead_to({120, 100}).bead_to({120, 120}).line("; overhang perimeter").bead_to({100, 120});
  job.line("; outer perimeter").bead_to({100, 100}).line("; support");
  strokes(job, 1, 4);
  only_layer(job, 1, [](const LayerStack& stack) {
    REQUIRE(stack.layer.tracks.size() == 4);
    CHECK(role_of_track(stack.layer, 0) == BeadRole::outer_perimeter);
    CHECK(role_of_track(stack.layer, 1) == BeadRole::perimeter);
    CHECK(role_of_track(stack.layer, 3) == BeadRole::support);
    for (std::size_t i = 0; i < 3; ++i) CHECK(stack.layer.tracks[i].boundary);
    CHECK(inside_outline(stack.layer, {110, 118}));
  });
}

TEST_CASE("strokes of a letter are its outline; many sparse strokes without a wall are support") {
  Print job = print().layer(0.2);
  // A T of two strokes, 8 mm high.
  job.travel_to(50, 58).prime().bead_to({56, 58}).travel_to(53, 58).bead_to({53, 50});
  job.fill(15, 15, {100, 100}, 2);
  only_layer(job, 1, [](const LayerStack& stack) {
    CHECK(doctest::Approx(length_as(stack.layer, BeadRole::outer_perimeter)) == 14);
    CHECK(doctest::Approx(length_as(stack.layer, BeadRole::support)) == 8 * 15 + 7 * 2);
  });
}

TEST_CASE("a loop that coasts to its start is closed, around a corner too") {
  for (const bool around_corner : {false, true}) {
    CAPTURE(around_corner);
    Print job = print().layer(0.2).travel_to(around_corner ? 101 : 105, 100).prime();
    job.bead_to({120, 100}).bead_to({120, 120}).bead_to({100, 120});
    if (around_corner) job.bead_to({100, 101}).travel_to(100, 100).travel_to(101, 100);
    if (!around_corner) job.bead_to({100, 100}).bead_to({103, 100}).travel_to(105, 100);
    only_layer(job, 1, [](const LayerStack& stack) {
      REQUIRE(stack.layer.tracks.size() == 1);
      CHECK(stack.layer.tracks[0].closed);
      CHECK(doctest::Approx(stack.layer.tracks[0].area_mm2).epsilon(0.01) == 400);
      CHECK(role_of_track(stack.layer, 0) == BeadRole::outer_perimeter);
    });
  }
}

TEST_CASE("a thin wall that leaves a box is outline, the sparse strokes in the box are not") {
  Print job = print().layer(0.2);
  walls(job, 2);
  strokes(job, 2, 4);
  job.travel_to(120.3, 110).prime().bead_to({140, 110});
  only_layer(job, 1, [](const LayerStack& stack) {
    REQUIRE(stack.layer.islands.size() == 1);
    CHECK(role_of_track(stack.layer, 2) == BeadRole::infill);
    CHECK(role_of_track(stack.layer, 3) == BeadRole::outer_perimeter);
  });
}

TEST_CASE("on the plate, what carries nothing is a skirt, a priming line or a brim") {
  Print job = print().layer(0.2);
  job.travel_to(10, 10).prime().bead_to({90, 10});
  job.perimeter(square(40, {90, 90}));
  // Two rounds of brim, from outside to inside, touch the part.
  for (int i = 2; i >= 1; --i)
    job.perimeter(square(side_mm + 2 * i * pitch_mm, {low_mm - i * pitch_mm, low_mm - i * pitch_mm}));
  for (int layer = 1; layer <= 2; ++layer) {
    if (layer > 1) job.layer(0.2);
    walls(job, 2);
    strokes(job, 2, pitch_mm);
  }
  only_layer(job, 1, [](const LayerStack& stack) {
    constexpr BeadRole roles[] = {BeadRole::prime, BeadRole::skirt,           BeadRole::brim,
                                  BeadRole::brim,  BeadRole::outer_perimeter, BeadRole::perimeter};
    REQUIRE(stack.layer.tracks.size() == 7);
    for (std::size_t i = 0; i < 6; ++i) {
      CAPTURE(i);
      CHECK(role_of_track(stack.layer, i) == roles[i]);
    }
    CHECK(role_of_track(stack.layer, 6) == BeadRole::bottom);
  });
}

TEST_CASE("a base of one layer with a tower on it is no brim") {
  Print job = print().layer(0.2);
  walls(job, 2);
  strokes(job, 2, pitch_mm);
  job.layer(0.2);
  walls(job, 2, 5, {107, 107});
  strokes(job, 2, pitch_mm, 5, {107, 107});
  only_layer(job, 1, [](const LayerStack& stack) {
    CHECK(length_as(stack.layer, BeadRole::brim) == 0);
    CHECK(length_as(stack.layer, BeadRole::top) > 500);
    CHECK(role_of_track(stack.layer, 0) == BeadRole::outer_perimeter);
  });
}

TEST_CASE("solid fill over nothing is a bottom, over a hollow inside the part it is not") {
  Print job = print().layer(0.2);
  walls(job, 2);
  strokes(job, 2, 6);
  for (int layer = 2; layer <= 3; ++layer) {
    job.layer(0.2);
    walls(job, 2);
    strokes(job, 2, pitch_mm);
    // A shelf beside the box, over the plate's air.
    walls(job, 2, 10, {side_mm + low_mm - 0.2, low_mm});
    strokes(job, 2, pitch_mm, 10, {side_mm + low_mm - 0.2, low_mm});
  }
  only_layer(job, 2, [](const LayerStack& stack) {
    CHECK(role_of_track(stack.layer, 2) == BeadRole::solid_infill);
    CHECK(role_of_track(stack.layer, 5) == BeadRole::bottom);
  });
}
