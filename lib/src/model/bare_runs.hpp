#pragma once

#include <cstdint>
#include <vector>

#include "model/bead_support.hpp"

namespace beadwise {

/// A stretch of a track that touches nothing below it.
struct BareRun {
  std::uint32_t track = 0;
  /// Straight pieces of the layer's index; the last comes before the first where the run goes through the seam.
  std::uint32_t first_piece = 0;
  std::uint32_t last_piece = 0;
  double first_share = 0;  ///< where on its first piece it begins
  double last_share = 1;   ///< where on its last one it ends
  PlanePoint from;
  PlanePoint to;
  double length_mm = 0;   ///< along the middle line
  double ends_mm = 0;     ///< from its ends to what carries there, both together
  double bow_mm = 0;      ///< farthest from the straight line between its ends
  bool anchored = false;  ///< carried at both ends

  /// From edge to edge of what carries.
  double span_mm() const;
};

/// Finds the bare runs of a layer's tracks.
class BareRuns {
 public:
  /// A bead that comes no nearer than this many of its widths, from its middle, to what carries does not touch it.
  static constexpr double margin_widths = BeadIndex::touch_ratio / 2;
  /// A stroke that ends this many widths before what carries ends on a bead that lies there: fill ends at the inner
  /// perimeter, which may hang over by a width. Common practice.
  static constexpr double anchor_widths = 1.5;

  explicit BareRuns(BeadSupport& support) : support_(support) {}

  /// The runs of one track are added to `into`. `passes(piece)` may say that a piece is carried, or as good as.
  /// Whether anything carries the track anywhere.
  template <class Passes>
  bool add(const IndexedLayer& layer, std::uint32_t track, Passes&& passes, std::vector<BareRun>& into) {
    begin(layer, track, into);
    for (std::uint32_t piece = first_; piece < last_; ++piece) {
      if (passes(piece))
        land(into);
      else
        look_along(piece, into);
    }
    end(into);
    return touches_;
  }

 private:
  void begin(const IndexedLayer& layer, std::uint32_t track, const std::vector<BareRun>& into);
  void land(std::vector<BareRun>& into);
  void look_along(std::uint32_t piece, std::vector<BareRun>& into);
  void end(std::vector<BareRun>& into);
  void join_at_seam(std::vector<BareRun>& into);
  void close(bool landed, std::vector<BareRun>& into);
  /// Whether an open end of the track is as good as carried; adds the way that is left.
  bool anchor(PlanePoint end, double width_mm);
  double bow_of(const BareRun& run) const;

  BeadSupport& support_;
  const IndexedLayer* layer_ = nullptr;
  std::uint32_t first_ = 0;  ///< piece of the track
  std::uint32_t last_ = 0;   ///< one past its last
  std::uint32_t track_ = 0;
  std::size_t first_run_ = 0;
  BareRun run_;
  bool open_ = false;
  bool begins_bare_ = false;
  bool lifted_off_ = false;  ///< something carried the track before the open run
  bool ends_bare_ = false;
  bool touches_ = false;
  std::vector<Span> parts_;
};

}  // namespace beadwise
