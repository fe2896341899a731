#include "model/laid_strokes.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "model/bead_roles.hpp"
#include "model/islands.hpp"
#include "model/tracks.hpp"
#include "support/near.hpp"

using namespace beadwise;
using beadwise::tests::near;

namespace {

constexpr double height_mm = 0.2;
constexpr double filament_mm2 = 2.405;  // π · 1.75² / 4

/// A layer of beads told one by one, 0.2 mm high.
class Laid {
 public:
  Laid& from(double x, double y) {
    at_ = {x, y};
    return *this;
  }
  Laid& to(double x, double y, double width_mm, double speed_mm_per_s = 20, BeadRole role = BeadRole::unknown) {
    Bead bead;
    bead.from_mm = {at_.x, at_.y, height_mm};
    bead.to_mm = {x, y, height_mm};
    bead.path_mm = std::hypot(x - at_.x, y - at_.y);
    bead.width_mm = width_mm;
    bead.area_mm2 = (width_mm - 0.2146 * height_mm) * height_mm;  // w = A/h + h (1 − π/4)
    bead.filament_mm = static_cast<float>(bead.area_mm2 * bead.path_mm / filament_mm2);
    bead.feedrate_mm_per_s = static_cast<float>(speed_mm_per_s);
    bead.height_mm = static_cast<float>(height_mm);
    bead.role = role;
    layer_.layer.beads.push_back(bead);
    at_ = {x, y};
    return *this;
  }
  const IndexedLayer& indexed() {
    layer_.layer.height_mm = height_mm;
    layer_.index.build(layer_.layer, 2, 0.45);
    find_tracks(layer_);
    find_islands(layer_);
    infer_roles(layer_);
    return layer_;
  }
  std::vector<LaidStroke> strokes() {
    const IndexedLayer& layer = indexed();
    return laid_strokes(layer, std::vector<bool>(layer.tracks.size(), true));
  }
  std::vector<WidthStep> steps(double ratio = 1.5) {
    const IndexedLayer& layer = indexed();
    return width_steps(layer, std::vector<bool>(layer.tracks.size(), true), ratio, 0.4);
  }

 private:
  IndexedLayer layer_;
  PlanePoint at_;
};

}  // namespace

TEST_CASE("a stroke is what is laid between two travels, loops and all") {
  Laid laid;
  laid.from(0, 0).to(2, 0, 0.4).to(2, 2, 0.4).to(0, 2, 0.4).to(0, 0, 0.4).to(-3, 0, 0.4);
  laid.from(5, 0).to(5, 0.3, 0.5);
  const auto strokes = laid.strokes();
  REQUIRE(strokes.size() == 2);
  CHECK(near(strokes[0].length_mm, 11, 1e-9));
  CHECK(near(strokes[1].length_mm, 0.3, 1e-9));
  CHECK(near(strokes[1].width_mm, 0.5, 1e-9));
  // (0.5 − 0.0429) · 0.2 mm² · 0.3 mm over 2.405 mm²
  CHECK(near(strokes[1].filament_mm, 0.0114, 1e-4));
  CHECK_FALSE(strokes[1].enclosed);
}

TEST_CASE("a dash between two walls does not show; the same dash alone does") {
  Laid between;
  between.from(0, 0).to(4, 0, 0.4).from(0, 0.8).to(4, 0.8, 0.4).from(2, 0.4).to(2.2, 0.4, 0.4);
  CHECK(between.strokes().back().enclosed);
  Laid beside;
  beside.from(0, 0).to(4, 0, 0.4).from(2, 0.4).to(2.2, 0.4, 0.4);
  CHECK_FALSE(beside.strokes().back().enclosed);
}

TEST_CASE("a bead that doubles its width at once is a step, one that widens along 2 mm is none") {
  CHECK(Laid().from(0, 0).to(3, 0, 0.25).to(6, 0, 0.5).steps().size() == 1);
  Laid taper;
  taper.from(0, 0).to(2, 0, 0.25);
  for (int i = 1; i <= 10; ++i) taper.to(2 + 0.2 * i, 0, 0.25 + 0.025 * i);
  CHECK(taper.to(6, 0, 0.5).steps().empty());
}

TEST_CASE("the limit of a width step, just kept and just broken") {
  CHECK(Laid().from(0, 0).to(3, 0, 0.3).to(6, 0, 0.446).steps().empty());
  const auto steps = Laid().from(0, 0).to(3, 0, 0.3).to(6, 0, 0.454).steps();
  REQUIRE(steps.size() == 1);
  CHECK(near(steps[0].ratio(), 1.513, 0.001));
}

TEST_CASE("where the nozzle slows down as the bead widens, the flow stays and melt need not follow") {
  CHECK(Laid().from(0, 0).to(3, 0, 0.25, 40).to(6, 0, 0.5, 20).steps().empty());
}

TEST_CASE("a wider spot shorter than the nozzle's bore, or at the end of a stroke, is no step") {
  CHECK(Laid().from(0, 0).to(3, 0, 0.3).to(3.05, 0, 0.6).to(6, 0, 0.3).steps().empty());
  CHECK(Laid().from(0, 0).to(3, 0, 0.3).to(3.2, 0, 0.6).steps().empty());
}
