#pragma once

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <iterator>
#include <set>
#include <utility>
#include <vector>

#include "beadwise/finding.hpp"
#include "checks/thin_stroke/letter_line.hpp"
#include "model/role_kinds.hpp"
#include "model/strokes.hpp"
#include "model/track_samples.hpp"

namespace beadwise::checks::thin_stroke {

/// Draws lines of lettering: their outlines, and on them what is too narrow, closes, or cannot be laid.
class LetterMarks {
 public:
  /// `line_of_track[track]` is below 0 where nothing is to be drawn of a track.
  void look_at(const IndexedLayer& layer, std::vector<std::int32_t> line_of_track) {
    layer_ = &layer;
    line_of_track_ = std::move(line_of_track);
    std::vector<bool> wanted;
    for (const std::int32_t line : line_of_track_) wanted.push_back(line >= 0);
    meter_.measure(layer, wanted, {.thickest_mm = reach_mm, .widest_gap_mm = reach_mm, .step_mm = 0.2});
  }

  std::vector<Mark> of_line(std::int32_t line, bool hole, const LetteringMeasure& measure, const Unlaid& unlaid,
                            const Limits& limits) const {
    std::vector<Mark> marks;
    for (const LaidStroke& stroke : unlaid.lost)
      keep_mark(marks, along(stroke.first, stroke.count, stroke.width_mm, measured_value));
    for (const WidthStep& step : unlaid.steps) keep_mark(marks, along(step.bead, 1, step.to_mm, measured_value));
    add_thin(line, hole, limits, marks);
    if (!hole) add_gaps(line, limits, marks);
    add_outlines(line, middle_of(measure, unlaid), marks);
    return marks;
  }

 private:
  // Wider ones are neither strokes that are too narrow nor gaps that close.
  static constexpr double reach_mm = 2;
  // What was measured stays before outlines, which have less than 1.
  static constexpr double measured_value = 1;
  // A stroke is seen from both its sides; its middle is then this near, common rounding of corners included.
  static constexpr double same_middle_mm = 0.15;

  using Cells = std::set<std::pair<std::int64_t, std::int64_t>>;

  static std::pair<std::int64_t, std::int64_t> cell_of(PlanePoint place) {
    return {static_cast<std::int64_t>(std::floor(place.x / same_middle_mm)),
            static_cast<std::int64_t>(std::floor(place.y / same_middle_mm))};
  }

  static bool is_drawn(const Cells& drawn, PlanePoint place) {
    const auto [column, row] = cell_of(place);
    for (std::int64_t x = column - 1; x <= column + 1; ++x)
      for (std::int64_t y = row - 1; y <= row + 1; ++y)
        if (drawn.count({x, y}) != 0) return true;
    return false;
  }

  /// Where the middle of an opening of some width lies, or of a stroke.
  static PlanePoint middle_of(const EdgeSample& sample, bool opening) {
    const double way_mm = (opening ? -sample.gap_mm : sample.thickness_mm) / 2;
    return {sample.at.x + way_mm * sample.inward.x, sample.at.y + way_mm * sample.inward.y};
  }

  PlanePoint middle_of(const LetteringMeasure& measure, const Unlaid& unlaid) const {
    if (std::isfinite(measure.narrowest_stroke.mm) && measure.narrowest_stroke.mm < reach_mm)
      return measure.narrowest_stroke.at;
    if (measure.closing_gaps > 0) return measure.narrowest_gap.at;
    const std::uint32_t bead = !unlaid.lost.empty()    ? unlaid.lost.front().first
                               : !unlaid.steps.empty() ? unlaid.steps.front().bead
                                                       : 0;
    const Point& at = layer_->layer.beads[bead].from_mm;
    return {at.x, at.y};
  }

  Mark along(std::uint32_t first, std::uint32_t count, double width_mm, double value) const {
    Mark mark{.layer = layer_->layer.number, .points_mm = {}, .width_mm = width_mm, .value = value};
    for (const Footprint& piece : footprints_of(layer_->index, first, count)) {
      if (mark.points_mm.empty()) mark.points_mm.push_back({piece.from().x, piece.from().y});
      mark.points_mm.push_back({piece.to().x, piece.to().y});
    }
    return mark;
  }

  enum class Side : std::uint8_t { stroke, sunk_stroke, gap };

  /// Draws samples that hold, one after another, as lines along the middle, where the other side has not told of it.
  template <class Holds>
  void add_middles(std::int32_t line, Side side, Holds&& holds, std::vector<Mark>& marks) const {
    Cells drawn;
    const std::vector<EdgeSample>& samples = meter_.samples();
    for (std::size_t first = 0; first < samples.size();) {
      std::size_t last = first;
      const auto goes_on = [&](const EdgeSample& sample) {
        return sample.run == samples[first].run && line_of_track_[layer_->track_of[sample.bead]] == line &&
               holds(sample) && !is_drawn(drawn, middle_of(sample, side != Side::stroke));
      };
      while (last < samples.size() && goes_on(samples[last])) ++last;
      if (last > first) add_middle(samples.data() + first, samples.data() + last, side, drawn, marks);
      first = std::max(last, first + 1);
    }
  }

  void add_middle(const EdgeSample* first, const EdgeSample* last, Side side, Cells& drawn,
                  std::vector<Mark>& marks) const {
    Mark mark{.layer = layer_->layer.number, .points_mm = {}, .width_mm = reach_mm, .value = 0};
    double widest_mm = 0;
    double length_mm = 0;
    for (const EdgeSample* sample = first; sample != last; ++sample) {
      const double width_mm = side == Side::stroke ? sample->thickness_mm : sample->gap_mm;
      const PlanePoint middle = middle_of(*sample, side != Side::stroke);
      mark.points_mm.push_back({middle.x, middle.y});
      mark.width_mm = std::min(mark.width_mm, width_mm);
      widest_mm = std::max(widest_mm, width_mm);
      length_mm += sample->length_mm;
    }
    // What runs out to nothing is the wedge where two strokes meet; what is short, a notch.
    if (side == Side::gap && (2 * mark.width_mm < widest_mm || length_mm < 2 * widest_mm)) return;
    for (const auto& point : mark.points_mm) drawn.insert(cell_of({point[0], point[1]}));
    if (mark.points_mm.size() == 1) mark.points_mm.push_back(mark.points_mm.front());
    mark.value = measured_value + reach_mm - mark.width_mm;
    keep_mark(marks, std::move(mark));
  }

  void add_thin(std::int32_t line, bool hole, const Limits& limits, std::vector<Mark>& marks) const {
    const auto is_thin = [&](const EdgeSample& sample) {
      return (hole ? sample.gap_mm : sample.thickness_mm) < limits.stroke_mm();
    };
    add_middles(line, hole ? Side::sunk_stroke : Side::stroke, is_thin, marks);
  }

  void add_gaps(std::int32_t line, const Limits& limits, std::vector<Mark>& marks) const {
    const std::vector<Bead>& beads = layer_->layer.beads;
    const auto closes = [&](const EdgeSample& sample) {
      const double bead_mm = std::min(beads[sample.bead].width_mm, beads[sample.across].width_mm);
      return std::isfinite(sample.gap_mm) && sample.gap_mm < limits.gap_beads.value * bead_mm;
    };
    add_middles(line, Side::gap, closes, marks);
  }

  void add_outlines(std::int32_t line, PlanePoint worst, std::vector<Mark>& marks) const {
    for (std::size_t i = 0; i < layer_->tracks.size(); ++i) {
      const Track& track = layer_->tracks[i];
      const bool shows = track.boundary || (!track.closed && !is_fill(layer_->roles[track.first]));
      if (line_of_track_[i] != line || !shows) continue;
      const double x_mm = std::max({track.box_mm.low.x - worst.x, worst.x - track.box_mm.high.x, 0.0});
      const double y_mm = std::max({track.box_mm.low.y - worst.y, worst.y - track.box_mm.high.y, 0.0});
      // The nearest stay where there are too many.
      keep_mark(marks, along(track.first, track.count, 0, measured_value / (2 + std::hypot(x_mm, y_mm))));
    }
  }

  const IndexedLayer* layer_ = nullptr;
  std::vector<std::int32_t> line_of_track_;
  StrokeMeter meter_;
};

}  // namespace beadwise::checks::thin_stroke
