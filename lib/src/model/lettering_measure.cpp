#include "model/lettering_measure.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace beadwise {

namespace {

// A gap counts where it is longer than twice its width, and than a bead is wide: nobody sees shorter ones.
constexpr double least_gap_length_widths = 2;
// In the wedge where two strokes meet, the width falls evenly to nothing: half of its length is narrower than half its
// width. In a gap between strokes side by side hardly any is.
constexpr double even_gap_share = 0.6;
// A strand that gets thinner by a third towards its end was cut off where it became too thin to be laid.
constexpr double tapered_ratio = 0.67;
constexpr double taper_length_mm = 2;
constexpr double thickest_mm = 6;
constexpr double widest_gap_mm = 1.5;

bool inside(const Box& inner, const Box& outer) {
  return inner.low.x >= outer.low.x && inner.high.x <= outer.high.x && inner.low.y >= outer.low.y &&
         inner.high.y <= outer.high.y;
}

/// Whether samples one after another are a gap between strokes side by side, and adds it.
void judge_gap(const EdgeSample* first, const EdgeSample* last, double bead_mm, LetteringMeasure& measure) {
  double widest_mm = 0;
  double length_mm = 0;
  for (const EdgeSample* sample = first; sample != last; ++sample) {
    widest_mm = std::max(widest_mm, sample->gap_mm);
    length_mm += sample->length_mm;
  }
  double even_mm = 0;
  MeasuredPlace narrowest;
  for (const EdgeSample* sample = first; sample != last; ++sample) {
    if (sample->gap_mm < widest_mm / 2) continue;
    even_mm += sample->length_mm;
    if (sample->gap_mm < narrowest.mm) narrowest = {sample->gap_mm, sample->at, sample->bead};
  }
  if (even_mm < even_gap_share * length_mm) return;
  if (even_mm < std::max(least_gap_length_widths * widest_mm, bead_mm)) return;
  ++measure.closing_gaps;
  measure.closing_gap_mm += even_mm;
  if (narrowest.mm < measure.narrowest_gap.mm) measure.narrowest_gap = narrowest;
}

bool closes(const IndexedLayer& layer, const EdgeSample& sample, const LetteringLimits& limits) {
  if (!std::isfinite(sample.gap_mm)) return false;
  const double bead_mm = std::min(layer.layer.beads[sample.bead].width_mm, layer.layer.beads[sample.across].width_mm);
  return sample.gap_mm < limits.gap_beads * bead_mm;
}

/// Whether a stroke gets thinner and thinner towards the bead `end` from where `step` leads into it.
bool tapers(const std::vector<Bead>& beads, std::uint32_t end, int step, std::uint32_t count) {
  double passed_mm = 0;
  double widest_mm = 0;
  std::int64_t at = end;
  for (std::uint32_t i = 0; i < count && passed_mm < taper_length_mm; ++i, at += step) {
    const Bead& bead = beads[static_cast<std::size_t>(at)];
    widest_mm = std::max(widest_mm, bead.width_mm);
    passed_mm += bead.path_mm;
  }
  return beads[end].width_mm < tapered_ratio * widest_mm;
}

/// Whether no other track's bead lies at the end of a track.
bool ends_in_the_open(const IndexedLayer& layer, const Point& end, std::uint32_t track) {
  bool met = false;
  const PlanePoint place{end.x, end.y};
  layer.index.near(place, place, 0, [&](const Footprint& other) {
    if (layer.track_of[other.bead] == track) return;
    met = met || other.holds(place);
  });
  return !met;
}

void look_along(const IndexedLayer& layer, std::uint32_t at, LetteringMeasure& measure) {
  const std::vector<Bead>& beads = layer.layer.beads;
  const Track& track = layer.tracks[at];
  const std::uint32_t last = track.first + track.count - 1;
  const bool first_tapers = tapers(beads, track.first, 1, track.count);
  const bool last_tapers = tapers(beads, last, -1, track.count);
  measure.broken += first_tapers && ends_in_the_open(layer, beads[track.first].from_mm, at) ? 1 : 0;
  measure.broken += last_tapers && ends_in_the_open(layer, beads[last].to_mm, at) ? 1 : 0;
}

}  // namespace

void LetteringMeter::choose_tracks(const IndexedLayer& layer, const GlyphPieces& pieces,
                                   const std::vector<LetteringLine>& lines) {
  line_of_.assign(layer.tracks.size(), -1);
  std::vector<std::int32_t> line_of_island(layer.islands.size(), -1);
  std::vector<std::uint32_t> by_left(layer.islands.size());
  std::iota(by_left.begin(), by_left.end(), 0U);
  const auto left_of = [&](std::uint32_t island) { return layer.islands[island].box_mm.low.x; };
  std::sort(by_left.begin(), by_left.end(), [&](std::uint32_t a, std::uint32_t b) { return left_of(a) < left_of(b); });
  for (std::size_t line = 0; line < lines.size(); ++line) {
    const auto number = static_cast<std::int32_t>(line);
    for (const std::size_t piece : lines[line].pieces) {
      const PieceOrigin& origin = pieces.origins[piece];
      if (!pieces.pieces[piece].hole) {
        line_of_island[origin.island] = number;
        continue;
      }
      line_of_[origin.track] = number;
      // What stands in the hole: the inside of an O.
      const Box& hole = layer.tracks[origin.track].box_mm;
      auto island = std::lower_bound(by_left.begin(), by_left.end(), hole.low.x,
                                     [&](std::uint32_t one, double x) { return left_of(one) < x; });
      for (; island != by_left.end() && left_of(*island) <= hole.high.x; ++island)
        if (inside(layer.islands[*island].box_mm, hole)) line_of_island[*island] = number;
    }
  }
  for (std::size_t i = 0; i < layer.tracks.size(); ++i)
    if (line_of_[i] < 0) line_of_[i] = line_of_island[layer.island_of[layer.tracks[i].first]];
}

void LetteringMeter::measure_stroke(const EdgeSample& sample, bool hole, std::size_t line,
                                    const LetteringLimits& limits, LetteringMeasure& measure) {
  const double width_mm = hole ? sample.gap_mm : sample.thickness_mm;
  if (!std::isfinite(width_mm) || !(sample.length_mm > 0)) return;
  const double way_mm = hole ? -width_mm : width_mm;
  const PlanePoint across{sample.at.x + way_mm * sample.inward.x, sample.at.y + way_mm * sample.inward.y};
  const PlanePoint middle{(sample.at.x + across.x) / 2, (sample.at.y + across.y) / 2};
  measure.stroke_edge_mm += sample.length_mm;
  if (width_mm >= limits.stroke_mm) return;
  measure.thin_edge_mm += sample.length_mm;
  thin_.push_back({{width_mm, middle, sample.bead}, sample.length_mm, line});
}

void LetteringMeter::find_narrowest(double least_length_mm, std::vector<LetteringMeasure>& measures) {
  std::stable_sort(thin_.begin(), thin_.end(),
                   [](const ThinStretch& a, const ThinStretch& b) { return a.width.mm < b.width.mm; });
  std::vector<double> length_mm(measures.size(), 0);
  for (const ThinStretch& stretch : thin_) {
    MeasuredPlace& narrowest = measures[stretch.line].narrowest_stroke;
    double& length = length_mm[stretch.line];
    if (length < least_length_mm && length + stretch.length_mm >= least_length_mm) narrowest = stretch.width;
    length += stretch.length_mm;
  }
}

std::vector<LetteringMeasure> LetteringMeter::measure(const IndexedLayer& layer, const GlyphPieces& pieces,
                                                      const std::vector<LetteringLine>& lines,
                                                      const LetteringLimits& limits) {
  std::vector<LetteringMeasure> measures(lines.size());
  thin_.clear();
  choose_tracks(layer, pieces, lines);
  std::vector<bool> is_hole;
  for (const LetteringLine& line : lines) is_hole.push_back(pieces.pieces[line.pieces.front()].hole);
  const bool holes = std::find(is_hole.begin(), is_hole.end(), true) != is_hole.end();
  std::vector<bool> wanted;
  for (const std::int32_t line : line_of_) wanted.push_back(line >= 0);
  meter_.measure(layer, wanted,
                 {.thickest_mm = thickest_mm, .widest_gap_mm = holes ? thickest_mm : widest_gap_mm, .step_mm = 0.2});
  const std::vector<EdgeSample>& samples = meter_.samples();
  for (std::size_t first = 0; first < samples.size();) {
    const auto line = static_cast<std::size_t>(line_of(layer, samples[first].bead));
    std::size_t last = first;
    for (; last < samples.size() && samples[last].run == samples[first].run; ++last)
      measure_stroke(samples[last], is_hole[line], line, limits, measures[line]);
    for (std::size_t i = first; i < last && !is_hole[line];) {
      const std::size_t begin = i;
      while (i < last && closes(layer, samples[i], limits)) ++i;
      if (i > begin)
        judge_gap(samples.data() + begin, samples.data() + i, layer.layer.beads[samples[begin].bead].width_mm,
                  measures[line]);
      i += i == begin ? 1 : 0;
    }
    first = last;
  }
  find_narrowest(limits.least_length_mm, measures);
  for (std::uint32_t i = 0; i < layer.tracks.size(); ++i) {
    const std::int32_t line = line_of_[i];
    if (line >= 0 && !is_hole[static_cast<std::size_t>(line)] && !layer.tracks[i].closed)
      look_along(layer, i, measures[static_cast<std::size_t>(line)]);
  }
  for (LetteringMeasure& measure : measures) {
    // Both sides of a gap tell of it.
    measure.closing_gaps = (measure.closing_gaps + 1) / 2;
    measure.closing_gap_mm /= 2;
  }
  return measures;
}

}  // namespace beadwise
