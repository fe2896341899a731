#pragma once

#include <cstdint>
#include <vector>

#include "model/layer_stack.hpp"
#include "model/side_gap.hpp"
#include "model/stretches.hpp"

namespace beadwise {

/// The solid fill of one island that one sees from below or above. Sums are weighted by the length of the strokes.
struct FillRegion {
  bool has_fill = false;
  std::uint32_t first_bead = 0;
  double area_mm2 = 0;     ///< from stroke to stroke, half of what lies between to each; up to the perimeters
  double between_mm2 = 0;  ///< of it, open between strokes
  double rim_mm2 = 0;      ///< of it, open between strokes and perimeters
  double length_mm = 0;
  double width_mm2 = 0;
  double height_mm2 = 0;
  double laid_mm3 = 0;
  double rim_gap_mm2 = 0;  ///< widths of the gaps at the rim
  double rim_gap_mm = 0;   ///< length of the gaps at the rim
  double pitch_mm2 = 0;    ///< distances from stroke to stroke
  double pitch_mm = 0;     ///< length of the strokes with a stroke beside them; both sides count

  double open_mm2() const { return between_mm2 + rim_mm2; }
};

/// A gap between two beads that goes on along them.
struct FillSlit {
  std::uint32_t bead = 0;  ///< in the middle of it
  PlanePoint at;           ///< its middle
  double length_mm = 0;
  double gap_mm = 0;           ///< mean width
  double width_mm = 0;         ///< of the bead
  bool along_wall = false;     ///< a perimeter on one side of it, or both
  bool between_walls = false;  ///< on both
  bool along_itself = false;   ///< the same track on both
};

/// Measures how far the beads of solid regions cover what lies between them: the fill of the first layer, and tops.
///
/// At stations along a stroke, the line that crosses it at right angles to both sides: what lies between the edge of
/// its footprint and that of the next bead. A gap as wide as the bead, or more, is a hole of the part.
class FillMeter {
 public:
  /// Slits narrower or shorter are not gathered.
  FillMeter(double slit_widths, double slit_mm) : slit_widths_(slit_widths), slit_mm_(slit_mm) {}

  /// Whether the layer has such fill; `regions()` and `slits()` hold what was found.
  bool measure(const LayerStack& stack);

  /// By island.
  const std::vector<FillRegion>& regions() const { return regions_; }
  const std::vector<FillSlit>& slits() const { return slits_; }

 private:
  /// One side of a stroke at a station.
  struct Side {
    SideGap gap;
    bool counts = false;    ///< a bead that belongs to the region lies there, within reach
    bool is_wall = false;   ///< it is a perimeter
    bool is_other = false;  ///< it looks at this gap, too
  };
  struct Station {
    TrackSample sample;
    Side sides[2]{};  ///< left and right
  };

  bool is_seen_fill(std::uint32_t bead) const;
  bool needs_sight(std::uint32_t bead) const;
  bool is_outline(const Track& track) const;
  bool find_fill();
  void look_along(const FootprintRun& run, double length_mm, std::uint32_t bead, bool wall);
  void gather(const FootprintRun& run, double begin_mm, double step_mm, double inner_mm, bool wall);
  void drop_tapers(const Track& track, std::size_t first_slit);
  bool may_have_slit(const FootprintRun& run, double begin_mm, double step_mm, bool wall);
  bool goes_on(const FootprintRun& run, double at_mm, double way, int side, bool wall);
  Side side_of(const TrackSample& sample, double sign, bool wall);
  void add_area(double step_mm);
  void add_side(const Side& side, double step_mm, double half_mm, FillRegion& region) const;
  void find_slits(double step_mm, bool wall);
  void end_slit(std::size_t first, std::size_t last, int side, double step_mm, bool wall);
  bool is_slit(const Station& station, int side, bool wall) const;

  double slit_widths_;
  double slit_mm_;
  const LayerStack* stack_ = nullptr;
  const IndexedLayer* layer_ = nullptr;
  bool names_tops_ = false;      ///< the comments tell tops from other solid fill
  bool names_outlines_ = false;  ///< the comments tell outer perimeters from others
  std::vector<FillRegion> regions_;
  std::vector<FillSlit> slits_;
  std::vector<Station> stations_;
};

}  // namespace beadwise
