#include "support/letter_maker.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>

#include "support/axis_lines.hpp"
#include "support/bead_line.hpp"
#include "support/medial_axis.hpp"

namespace beadwise::tests {

namespace {

// What is just two outlines thick is laid as one bead, since no loop is left of it after rounding.
constexpr double rounding_mm = 0.01;
constexpr double loop_step_mm = 0.2;
// Chord to path where a loop turns by 28 degrees.
constexpr double corner_chord_ratio = 0.97;
// How far beyond what is thick loops and lines go: into corners down to 45 degrees.
constexpr double corner_reach_ratio = 1.25;
// Between loops a bead goes into every acute corner; a right angle is filled well enough by the round of a loop.
constexpr double gap_corner_deg = 100;

/// From line to line.
double pitch_mm(const MakerStyle& style) { return style.nozzle_mm - style.overlap_mm; }

double distance(PlanePoint a, PlanePoint b) { return std::hypot(b.x - a.x, b.y - a.y); }

void add_track(LaidPart part, const BeadLine& line, std::vector<LaidTrack>& tracks) {
  LaidTrack track{part, beads_along(line)};
  if (!track.beads.empty()) tracks.push_back(std::move(track));
}

/// How thick a region is where its boundary is nearest to a place.
class ThicknessAtBoundary {
 public:
  explicit ThicknessAtBoundary(const MedialAxis& axis) {
    for (const MedialEdge& edge : axis.edges)
      for (const PlanePoint side : {edge.left, edge.right})
        sides_.push_back({side, axis.nodes[edge.from].radius_mm + axis.nodes[edge.to].radius_mm});
    std::sort(sides_.begin(), sides_.end(), [](const LinePlace& a, const LinePlace& b) { return a.at.x < b.at.x; });
  }

  double operator()(PlanePoint place) const {
    const auto right_of = std::lower_bound(sides_.begin(), sides_.end(), place.x,
                                           [](const LinePlace& side, double x) { return side.at.x < x; });
    LinePlace nearest;
    double nearest_mm = 1e9;
    // Away from the place to both sides, until even the step in x is farther than the nearest.
    const auto closer = [&](const LinePlace& side) {
      if (std::fabs(side.at.x - place.x) >= nearest_mm) return false;
      const double here_mm = distance(side.at, place);
      if (here_mm < nearest_mm) nearest = side;
      nearest_mm = std::min(nearest_mm, here_mm);
      return true;
    };
    for (auto side = right_of; side != sides_.end() && closer(*side); ++side) continue;
    for (auto side = right_of; side != sides_.begin() && closer(*std::prev(side)); --side) continue;
    return nearest.width_mm;
  }

 private:
  std::vector<LinePlace> sides_;  ///< in order of x
};

/// A loop at half a nozzle from the boundary, wider where two loops leave too little between them, and so much farther
/// inside. The region lies to the left of the outline.
BeadLine loop_of(const Outline& outline, const ThicknessAtBoundary& thickness_at, const MakerStyle& style) {
  BeadLine line;
  for (const PlanePoint corner : outline) line.push_back({corner, style.nozzle_mm});
  line.push_back(line.front());
  line = in_steps(line, loop_step_mm);
  line.pop_back();
  const BeadLine even = line;
  for (std::size_t i = 0; i < even.size(); ++i) {
    const PlanePoint before = even[(i + even.size() - 1) % even.size()].at;
    const PlanePoint after = even[(i + 1) % even.size()].at;
    const double chord_mm = distance(before, after);
    // A wider bead would swell out of a corner.
    if (chord_mm <= corner_chord_ratio * (distance(before, even[i].at) + distance(even[i].at, after))) continue;
    const PlanePoint inward{-(after.y - before.y) / chord_mm, (after.x - before.x) / chord_mm};
    const PlanePoint side{even[i].at.x - inward.x * style.nozzle_mm / 2, even[i].at.y - inward.y * style.nozzle_mm / 2};
    const double thickness_mm = thickness_at(side);
    const double rest_mm = thickness_mm - 2 * pitch_mm(style);
    if (rest_mm >= style.thinnest_ratio * style.nozzle_mm) continue;
    const double wider_mm = std::max(0.0, (thickness_mm + style.overlap_mm) / 2 - style.nozzle_mm);
    line[i].width_mm += wider_mm;
    line[i].at.x += inward.x * wider_mm / 2;
    line[i].at.y += inward.y * wider_mm / 2;
  }
  line.push_back(line.front());
  return line;
}

void add_loops(const Region& middle_lines, const MedialAxis& axis, LaidPart part, const MakerStyle& style,
               std::vector<LaidTrack>& tracks) {
  const ThicknessAtBoundary thickness_at(axis);
  const auto add = [&](Outline outline, bool against_the_clock) {
    if ((signed_area_mm2(outline) > 0) != against_the_clock) std::reverse(outline.begin(), outline.end());
    add_track(part, loop_of(outline, thickness_at, style), tracks);
  };
  for (const Area& area : middle_lines) {
    add(area.outer, true);
    for (const Outline& hole : area.holes) add(hole, false);
  }
}

/// Whether a gap is so short that the loops beside it fill it.
bool loops_reach(const BeadLine& gap, double most_mm, const MakerStyle& style) {
  const bool beside_loops = std::max(gap.front().width_mm, gap.back().width_mm) > most_mm - rounding_mm;
  return beside_loops && length_mm(gap) < corner_reach_ratio * style.nozzle_mm;
}

PlanePoint turned(PlanePoint point, double cosine, double sine) {
  return {cosine * point.x - sine * point.y, sine * point.x + cosine * point.y};
}

Region turned(Region region, double cosine, double sine) {
  for (Area& area : region) {
    for (PlanePoint& corner : area.outer) corner = turned(corner, cosine, sine);
    for (Outline& hole : area.holes)
      for (PlanePoint& corner : hole) corner = turned(corner, cosine, sine);
  }
  return region;
}

struct Row {
  double y = 0;
  std::vector<double> crossed;  ///< a line between each first and second
};

std::vector<Row> rows_of(const Region& region, double pitch_mm) {
  double low = 1e9;
  double high = -1e9;
  for (const Area& area : region)
    for (const PlanePoint corner : area.outer) {
      low = std::min(low, corner.y);
      high = std::max(high, corner.y);
    }
  std::vector<Row> rows;
  const int count = static_cast<int>(std::ceil((high - low) / pitch_mm));
  for (int i = 0; i < count; ++i) {
    const double y = low + (high - low) * (i + 0.5) / count;
    rows.push_back({y, crossings(region, y)});
  }
  return rows;
}

/// Lines side by side, no farther apart than their pitch; the end of one is joined to the next line's where that is
/// near.
void add_fill(const Region& region, const MakerStyle& style, std::vector<LaidTrack>& tracks) {
  const double angle = style.fill_angle_deg * std::numbers::pi / 180;
  const double cosine = std::cos(angle);
  const double sine = std::sin(angle);
  std::vector<Row> rows = rows_of(turned(region, cosine, -sine), pitch_mm(style));
  for (std::size_t first = 0; first < rows.size(); ++first)
    while (!rows[first].crossed.empty()) {
      BeadLine line;
      PlanePoint at{rows[first].crossed.front(), rows[first].y};
      for (std::size_t row = first; row < rows.size(); ++row) {
        std::vector<double>& crossed = rows[row].crossed;
        const auto near = [&](double x) { return std::hypot(x - at.x, rows[row].y - at.y); };
        std::size_t nearest = 0;
        for (std::size_t i = 0; i < crossed.size(); ++i)
          if (near(crossed[i]) < near(crossed[nearest])) nearest = i;
        if (crossed.empty() || (!line.empty() && near(crossed[nearest]) > 2 * style.nozzle_mm)) break;
        const std::size_t pair = nearest - nearest % 2;
        line.push_back({turned({crossed[nearest], rows[row].y}, cosine, sine), style.nozzle_mm});
        at = {crossed[pair + 1 - nearest % 2], rows[row].y};
        line.push_back({turned(at, cosine, sine), style.nozzle_mm});
        crossed.erase(crossed.begin() + static_cast<std::ptrdiff_t>(pair),
                      crossed.begin() + static_cast<std::ptrdiff_t>(pair) + 2);
      }
      add_track(LaidPart::fill, line, tracks);
    }
}

bool is_closed(const LaidTrack& track) {
  return distance(track.beads.front().from, track.beads.back().to) < rounding_mm;
}

void turn_round(LaidTrack& track) {
  std::reverse(track.beads.begin(), track.beads.end());
  for (LaidBead& bead : track.beads) std::swap(bead.from, bead.to);
}

/// One after the other by the shortest way from where the last one ended, lines of the fill last.
std::vector<LaidTrack> in_short_order(std::vector<LaidTrack> tracks) {
  for (std::size_t next = 1; next < tracks.size(); ++next) {
    const PlanePoint at = tracks[next - 1].beads.back().to;
    const auto away_mm = [&](const LaidTrack& track) {
      const double to_start_mm = distance(at, track.beads.front().from);
      return is_closed(track) ? to_start_mm : std::min(to_start_mm, distance(at, track.beads.back().to));
    };
    const auto later = [&](const LaidTrack& a, const LaidTrack& b) {
      const bool a_fill = a.part == LaidPart::fill;
      const bool b_fill = b.part == LaidPart::fill;
      return a_fill != b_fill ? b_fill : away_mm(a) < away_mm(b);
    };
    const auto nearest = std::min_element(tracks.begin() + static_cast<std::ptrdiff_t>(next), tracks.end(), later);
    if (distance(at, nearest->beads.front().from) > away_mm(*nearest)) turn_round(*nearest);
    std::swap(tracks[next], *nearest);
  }
  return tracks;
}

}  // namespace

std::vector<LaidTrack> lay(const Region& shape, const MakerStyle& style) {
  std::vector<LaidTrack> tracks;
  const double half_mm = style.nozzle_mm / 2;
  const double most_mm = style.outline_ratio * style.nozzle_mm + rounding_mm;
  Region left = shape;
  for (int level = 0; !left.empty(); ++level) {
    const MedialAxis axis = without_ends(medial_axis(left), level == 0 ? opposite_sides_deg : gap_corner_deg);
    for (const BeadLine& line : lines_along(axis, style.thinnest_ratio * style.nozzle_mm, most_mm)) {
      if (level > 0 && loops_reach(line, most_mm, style)) continue;
      add_track(level == 0 ? LaidPart::stroke : LaidPart::gap, line, tracks);
    }
    const Region thick = grown(inset(left, most_mm / 2), corner_reach_ratio * style.nozzle_mm);
    if (level == style.outlines) {
      add_fill(common(inset(left, half_mm - style.fill_overlap_mm), thick), style, tracks);
      break;
    }
    const Region middle_lines = common(inset(left, half_mm), thick);
    add_loops(middle_lines, axis, level == 0 ? LaidPart::outline : LaidPart::inner, style, tracks);
    left = inset(middle_lines, half_mm - style.overlap_mm);
  }
  return in_short_order(std::move(tracks));
}

std::vector<LaidBead> beads_of(const std::vector<LaidTrack>& tracks) {
  std::vector<LaidBead> beads;
  for (const LaidTrack& track : tracks) beads.insert(beads.end(), track.beads.begin(), track.beads.end());
  return beads;
}

}  // namespace beadwise::tests
