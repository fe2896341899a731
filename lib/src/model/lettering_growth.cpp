#include "model/lettering_growth.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace beadwise {

double widest_gap_mm(const GlyphRow& row) {
  std::vector<double> gaps;
  for (std::size_t i = 1; i < row.stands.size(); ++i) gaps.push_back(row.stands[i].from_mm - row.stands[i - 1].to_mm);
  if (gaps.empty()) return letter::word_space * row.height_mm;
  const auto middle = gaps.begin() + static_cast<std::ptrdiff_t>(gaps.size() / 2);
  std::nth_element(gaps.begin(), middle, gaps.end());
  return std::min(letter::word_space * row.height_mm + 2 * std::max(0.0, *middle),
                  letter::widest_space * row.height_mm);
}

namespace {

using Places = std::vector<PlanePoint>;

constexpr double loose_alignment = 0.2;       // of the height: while the line is not known well
constexpr double circle_cost = 0.75;          // pieces: a circle fits three of anything
constexpr double least_sagitta_ratio = 0.05;  // of the height: flatter than this, a line is straight
constexpr std::size_t least_bent = 5;         // letters: a circle fits three of anything
constexpr double lone_capital = 1.25;         // of the height of small letters; faces have 1.3 to 1.6
constexpr double least_piece = 0.3;           // of the height: smaller ones are marks and are taken in later
constexpr double usual_piece = 2.2;           // of the height: single letters
constexpr double widest_piece = 6;            // of the height: letters that run together
constexpr double deep_low = 1.2;              // of the height: what hangs low and reaches higher is no descender
constexpr std::size_t recent_pieces = 24;     // of what was found last, where a piece found again would be
constexpr double level_cosine = 1e-6;         // of a way that leads neither to the right nor to the left
constexpr int most_rounds = 12;

/// Lets a row take in what follows on its line.
class Growth {
 public:
  Growth(const GlyphField& field, const GlyphRow& row) : field_(field), row_(row) {
    hole_ = field.shapes[row.stands.front().piece].hole;
    gap_mm_ = widest_gap_mm(row);
  }

  /// What stands on the line at either side of what stands there already, in order.
  std::vector<Stand> gather() {
    std::vector<Stand> all = row_.stands;
    for (const int way : {1, -1}) {
      const std::vector<Stand> more = follow(way);
      all.insert(all.end(), more.begin(), more.end());
    }
    sort_along(all);
    return all;
  }

 private:
  std::vector<Stand> follow(int way) {
    const Stand start = way > 0 ? row_.stands.back() : row_.stands.front();
    double reach_mm = way > 0 ? start.to_mm : start.from_mm;
    double at_mm = start.along_mm;
    std::vector<Stand> found;
    std::size_t misfits = 0;
    while (const auto next = next_on(at_mm, reach_mm, way, found)) {
      misfits = is_misfit(*next) ? misfits + 1 : 0;
      if (misfits > 1) break;
      found.push_back(*next);
      at_mm = next->along_mm;
      reach_mm = way > 0 ? std::max(reach_mm, next->to_mm) : std::min(reach_mm, next->from_mm);
    }
    while (!found.empty() && is_misfit(found.back())) found.pop_back();
    return found;
  }

  std::optional<Stand> next_on(double at_mm, double reach_mm, int way, const std::vector<Stand>& found) {
    const double height_mm = row_.height_mm;
    const PlanePoint place = row_.line.place(reach_mm, height_mm / 2);
    std::optional<Stand> best;
    for (const double size_mm : {usual_piece * height_mm, widest_piece * height_mm}) {
      field_.index.near(place, gap_mm_ + size_mm / 2, least_piece * height_mm, size_mm, near_);
      for (const std::uint32_t piece : near_) {
        if (!field_.free(piece) || field_.shapes[piece].hole != hole_ || stands_already(piece, found)) continue;
        const Stand stand = stand_on(row_.line, field_.shapes[piece], piece);
        if (!in_band(stand, height_mm) || way * (stand.along_mm - at_mm) < 0) continue;
        const double gap_mm = way > 0 ? stand.from_mm - reach_mm : reach_mm - stand.to_mm;
        if (gap_mm > gap_mm_) continue;
        if (!best || way * (stand.along_mm - best->along_mm) < 0) best = stand;
      }
      if (best) return best;
    }
    return best;
  }

  bool stands_already(std::uint32_t piece, const std::vector<Stand>& found) const {
    const auto is = [&](const Stand& stand) { return stand.piece == piece; };
    // What was found last lies nearest; the row itself lies on the other side of where it looks.
    const std::size_t recent = found.size() > recent_pieces ? found.size() - recent_pieces : 0;
    if (std::any_of(found.begin() + static_cast<std::ptrdiff_t>(recent), found.end(), is)) return true;
    const std::size_t ends = std::min(recent_pieces, row_.stands.size());
    return std::any_of(row_.stands.begin(), row_.stands.begin() + static_cast<std::ptrdiff_t>(ends), is) ||
           std::any_of(row_.stands.end() - static_cast<std::ptrdiff_t>(ends), row_.stands.end(), is);
  }

  /// A letter that neither stands on the line nor hangs below it.
  bool is_misfit(const Stand& stand) const {
    if (!is_tall(stand, row_.height_mm)) return false;
    return stand.low_mm > loose_alignment * row_.height_mm ||
           (stand.low_mm < -loose_alignment * row_.height_mm && stand.high_mm > deep_low * row_.height_mm);
  }

  const GlyphField& field_;
  const GlyphRow& row_;
  bool hole_ = false;
  double gap_mm_ = 0;
  std::vector<std::uint32_t> near_;
};

/// Where pieces stand on a line.
Places feet(const Baseline& line, const std::vector<Stand>& stands) {
  Places places;
  for (const Stand& stand : stands) places.push_back(line.place(stand.along_mm, stand.low_mm));
  return places;
}

std::vector<Stand> stood_anew(const GlyphField& field, const Baseline& line, const std::vector<Stand>& stands) {
  std::vector<Stand> anew;
  for (const Stand& stand : stands) anew.push_back(stand_on(line, field.shapes[stand.piece], stand.piece));
  sort_along(anew);
  return anew;
}

/// Where the letters of a row stand that stand on its line.
Places feet_of_standing(const GlyphRow& row) {
  std::vector<Stand> standing;
  for (const Stand& stand : row.stands)
    if (is_tall(stand, row.height_mm) && std::abs(stand.low_mm) <= loose_alignment * row.height_mm)
      standing.push_back(stand);
  return feet(row.line, standing);
}

/// Lays the line through the feet of the letters that stand on it, straight or bent, whichever more speaks for.
void lay_anew(const GlyphField& field, GlyphRow& row) {
  const Places places = feet_of_standing(row);
  if (places.size() < 2) return;
  GlyphRow best = row;
  best.score = -1e300;
  const auto try_line = [&](const Baseline& line, double cost) {
    std::vector<Stand> stands = stood_anew(field, line, row.stands);
    const double score = score_of(stands, row.height_mm) - cost;
    if (score > best.score) best = {line, row.height_mm, std::move(stands), score};
  };
  try_line(straight_through(places, row.line), 0);
  const Baseline circle = circle_through(places, row.line);
  const double length_mm = row.stands.back().to_mm - row.stands.front().from_mm;
  const bool bends = circle.curved() && circle.radius_mm > letter::least_radius * row.height_mm &&
                     length_mm * length_mm / (8 * circle.radius_mm) > least_sagitta_ratio * row.height_mm;
  if (bends && places.size() >= least_bent) try_line(circle, circle_cost);
  row = std::move(best);
}

/// The tallest height that at least two letters, and one in ten, share; a lone capital among small letters counts too.
void measure_height(GlyphRow& row) {
  const std::array<Level, 2> levels = top_levels(row.stands, row.height_mm);
  double height_mm = 0;
  for (const Level& level : levels)
    if (level.count >= 2 && level.count * 10 >= row.stands.size()) height_mm = std::max(height_mm, level.at);
  if (height_mm <= 0) return;
  for (const Stand& stand : row.stands)
    if (std::abs(stand.low_mm) <= letter::alignment * height_mm && stand.high_mm >= lone_capital * height_mm &&
        stand.high_mm <= letter::high * height_mm) {
      height_mm = stand.high_mm;
      break;
    }
  row.height_mm = height_mm;
}

/// The same row seen upside down: standing on what was its most common top.
GlyphRow turned_over(const GlyphField& field, const GlyphRow& row) {
  const double top_mm = top_levels(row.stands, row.height_mm).front().at;
  if (row.line.curved() && !row.line.outside && row.line.radius_mm <= top_mm) return row;  // round its middle
  GlyphRow over = row;
  over.line.origin = row.line.curved() ? row.line.origin : row.line.place(0, top_mm);
  if (row.line.curved()) {
    over.line.radius_mm += row.line.outside ? top_mm : -top_mm;
    over.line.outside = !row.line.outside;
  } else {
    over.line.way = {-row.line.way.x, -row.line.way.y};
  }
  over.stands = stood_anew(field, over.line, row.stands);
  lay_anew(field, over);
  measure_height(over);
  return over;
}

}  // namespace

GlyphRow upright(const GlyphField& field, const GlyphRow& row) {
  GlyphRow over = turned_over(field, row);
  const auto standing = [](const GlyphRow& some) {
    return std::count_if(some.stands.begin(), some.stands.end(), [&](const Stand& stand) {
      return is_tall(stand, some.height_mm) && std::abs(stand.low_mm) <= letter::alignment * some.height_mm;
    });
  };
  // Capitals alone look the same either way: then lines run to the right.
  const auto runs_right = [](const GlyphRow& some) {
    const double way = some.line.angle_at((some.stands.front().along_mm + some.stands.back().along_mm) / 2);
    return std::cos(way) > level_cosine || (std::cos(way) > -level_cosine && std::sin(way) > 0);
  };
  const auto more = standing(over) - standing(row);
  return more > 0 || (more == 0 && runs_right(over)) ? over : row;
}

GlyphRow joined(const GlyphField& field, const GlyphRow& a, const GlyphRow& b) {
  // Where the two run against each other, one of them stands on its head.
  const PlanePoint middle = b.line.place((b.stands.front().along_mm + b.stands.back().along_mm) / 2, 0);
  const Stand& near_end = [&]() -> const Stand& {
    const auto distance = [&](const Stand& end) {
      const PlanePoint at = a.line.place(end.along_mm, 0);
      return std::hypot(at.x - middle.x, at.y - middle.y);
    };
    return distance(a.stands.front()) < distance(a.stands.back()) ? a.stands.front() : a.stands.back();
  }();
  const double b_angle = b.line.angle_at((b.stands.front().along_mm + b.stands.back().along_mm) / 2);
  const bool against = std::cos(a.line.angle_at(near_end.along_mm) - b_angle) < 0;
  const GlyphRow other = against ? turned_over(field, b) : b;
  std::vector<Stand> stands = a.stands;
  stands.insert(stands.end(), other.stands.begin(), other.stands.end());
  Places places = feet_of_standing(a);
  for (const PlanePoint place : feet_of_standing(other)) places.push_back(place);
  GlyphRow both;
  both.score = -1e300;
  for (const Baseline& line : {straight_through(places, a.line), circle_through(places, a.line)}) {
    GlyphRow row{line, std::max(a.height_mm, other.height_mm), stood_anew(field, line, stands), 0};
    lay_anew(field, row);
    measure_height(row);
    if (row.score > both.score) both = std::move(row);
  }
  return both;
}

GlyphRow grown(const GlyphField& field, GlyphRow row) {
  for (int round = 0; round < most_rounds; ++round) {
    const std::size_t before = row.stands.size();
    row.stands = Growth(field, row).gather();
    measure_height(row);
    lay_anew(field, row);
    if (round > 0 && row.stands.size() == before) break;
  }
  return row;
}

}  // namespace beadwise
