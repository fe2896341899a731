#include "report/picture_window.hpp"

#include <doctest/doctest.h>

using namespace beadwise;

namespace {

Place at(double x, double y, std::uint32_t layer, double value = 1) {
  return {.line = 1, .layer = layer, .x_mm = x, .y_mm = y, .z_mm = 0.2 * layer, .has_position = true, .value = value};
}

/// A rectangle of lines 0.45 mm apart.
LayerPicture filled(std::uint32_t number, std::int32_t width, std::int32_t depth) {
  LayerPicture layer;
  layer.layer = number;
  layer.z_mm = 0.2 * number;
  layer.height_mm = 0.2;
  for (std::int32_t y = 0; y <= depth; y += 45) layer.beads.push_back({{0, y}, {width, y}, 45, PicturePart::fill});
  return layer;
}

Finding finding_at(std::initializer_list<Place> places) {
  Finding finding;
  for (const Place& place : places) finding.places.add(place);
  return finding;
}

}  // namespace

TEST_CASE("a small part is shown whole") {
  Pictures pictures;
  pictures.layers = {filled(1, 2000, 1500)};
  const auto view = first_view(finding_at({at(5, 5, 1)}), pictures);
  REQUIRE(view);
  CHECK(view->whole_layer);
  CHECK(view->window.touches({0, 0}, {2000, 1500}, 0));
  CHECK(view->window.holds({0, 0}));
  CHECK(view->window.holds({2000, 1500}));
  // Four to three, to the hundredth of a millimetre.
  CHECK(view->window.height() == view->window.width() * 3 / 4);
}

TEST_CASE("of a large plate the place is shown with what lies around it, and not the air beside the plate") {
  Pictures pictures;
  pictures.layers = {filled(1, 20'000, 20'000)};
  const auto view = first_view(finding_at({at(0, 100, 1)}), pictures);
  REQUIRE(view);
  CHECK(!view->whole_layer);
  CHECK(view->window.holds({0, 10'000}));
  CHECK(view->window.low.x == -400);
  CHECK(view->window.width() == 1600);
  REQUIRE(view->places.size() == 1);
}

TEST_CASE("places near the worst one share its picture, those far away do not") {
  Pictures pictures;
  pictures.layers = {filled(1, 20'000, 20'000)};
  const auto view = first_view(finding_at({at(100, 100, 1, 9), at(110, 100, 1, 8), at(190, 20, 1, 7)}), pictures);
  REQUIRE(view);
  CHECK(view->places.size() == 2);
  CHECK(view->places.front().x_mm == 100);
}

TEST_CASE("more beads than a drawing can hold make the window smaller, around the worst place") {
  Pictures pictures;
  LayerPicture layer;
  layer.layer = 1;
  for (std::int32_t x = 0; x < 4000; x += 20)
    for (std::int32_t y = 0; y < 3000; y += 20)
      layer.beads.push_back({{x, y}, {x + 15, y}, 15, PicturePart::fill});  // 30,000 of them
  pictures.layers = {layer};
  const auto view = first_view(finding_at({at(20, 15, 1)}), pictures);
  REQUIRE(view);
  CHECK(!view->whole_layer);
  CHECK(view->window.width() < 1600);
  CHECK(view->window.holds({2000, 1500}));
}

TEST_CASE("the first place whose layer was kept is shown, with the layer that it lies on") {
  Pictures pictures;
  pictures.layers = {filled(4, 2000, 1500), filled(5, 2000, 1500)};
  const auto view = first_view(finding_at({at(5, 5, 9, 9), at(6, 6, 5, 3)}), pictures);
  REQUIRE(view);
  CHECK(view->layer->layer == 5);
  REQUIRE(view->below != nullptr);
  CHECK(view->below->layer == 4);
}

TEST_CASE("the layer before is not below where it belongs to a finished object") {
  Pictures pictures;
  pictures.layers = {filled(40, 2000, 1500), filled(41, 2000, 1500)};
  pictures.layers[1].z_mm = 0.2;
  const auto view = first_view(finding_at({at(5, 5, 41)}), pictures);
  REQUIRE(view);
  CHECK(view->below == nullptr);
}

TEST_CASE("a finding about a whole layer shows all of it, one about no layer nothing") {
  Pictures pictures;
  pictures.layers = {filled(3, 2000, 1500)};
  Finding whole;
  whole.places.add({.line = 7, .layer = 3});
  const auto view = first_view(whole, pictures);
  REQUIRE(view);
  CHECK(view->whole_layer);
  Finding none;
  none.places.add({.line = 7});
  CHECK(!first_view(none, pictures));
}

TEST_CASE("a layer below that is too fine for a drawing is left out of it") {
  Pictures pictures;
  pictures.layers = {filled(4, 2000, 1500), filled(5, 2000, 1500)};
  LayerPicture& below = pictures.layers.front();
  const std::vector<PictureBead> lines = below.beads;
  while (below.beads.size() < 10'000) below.beads.insert(below.beads.end(), lines.begin(), lines.end());
  const auto view = first_view(finding_at({at(5, 5, 5)}), pictures);
  REQUIRE(view);
  CHECK(view->below == nullptr);
}
