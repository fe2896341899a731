#include "model/lettering_verdict.hpp"

#include <algorithm>
#include <cmath>

namespace beadwise {

namespace {

constexpr std::size_t least_glyphs = 3;
constexpr std::size_t most_classes = 8;  // more need not be told apart
// Shapes that differ: at least three, of longer lines one for every three letters until there are six.
constexpr std::size_t least_classes = 3;
constexpr std::size_t letters_per_class = 3;
constexpr std::size_t enough_classes = 6;
constexpr double figure_share = 0.4;       // of the glyphs, at least, bend or branch
constexpr double aligned_share = 0.75;     // of the glyphs share a line with others
constexpr double standing_share = 0.6;     // of the glyphs share one and the same line
constexpr double loose_alignment = 0.1;    // of the height
constexpr double largest_stranger = 2.2;   // of the height: larger pieces are what the letters stand on or in
constexpr double overlap_ratio = 0.1;      // of the height: slanted letters reach over each other by less
constexpr double overlap_cost = 0.7;       // letters
constexpr double even_spacing = 0.1;       // of the height: how much gaps differ between letters
constexpr double least_evidence = 2.0;     // letters
constexpr double evidence_share = 0.4;     // of the letters
constexpr double evidence_per_fold = 0.5;  // letters, for every e-fold of pieces around
constexpr std::size_t least_bent = 5;      // glyphs of a curved line: a circle fits three of anything
constexpr double thickest_stroke = 0.4;    // of the height
constexpr double like_width_ratio = 1.8;   // between the strokes of one face, and of a line
constexpr double like_width_share = 0.75;  // of the glyphs
constexpr double usual_gap = 0.7;          // of the height: half of the gaps are narrower
constexpr double dense_share = 0.25;       // of the glyphs may be denser
constexpr double densest_strokes = 7.5;    // length of strokes times height over the area they stand in; @ has 6

// One piece over another: they share little height and most of the narrower one's width. Or in another: most of both.
constexpr double stacked_overlap = 0.35;
constexpr double stacked_share = 0.5;
constexpr double enclosed_share = 0.65;

double median(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>((values.size() - 1) / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

struct Extent {
  double from = 1e300;
  double to = -1e300;
  double low = 1e300;
  double high = -1e300;

  void add(const Stand& stand) {
    from = std::min(from, stand.from_mm);
    to = std::max(to, stand.to_mm);
    low = std::min(low, stand.low_mm);
    high = std::max(high, stand.high_mm);
  }
};

bool stack(const Extent& a, const Stand& b) {
  const double along = std::min(a.to, b.to_mm) - std::max(a.from, b.from_mm);
  if (along <= 0) return false;
  const double share = along / std::min(a.to - a.from, b.to_mm - b.from_mm);
  const double across = std::min(a.high, b.high_mm) - std::max(a.low, b.low_mm);
  const double over = across / std::min(a.high - a.low, b.height_mm());
  if (over < stacked_overlap) return share > stacked_share;
  return share * over > enclosed_share;
}

/// A glyph that is high enough to be a letter.
struct Letter {
  Stand stand;  ///< of its largest piece
  std::size_t pieces = 0;
  bool figure = false;  ///< bends or branches, or is made of several strokes: %
};

/// What of a row counts.
struct Letters {
  std::vector<Letter> all;
  std::size_t figures = 0;
  std::size_t classes = 0;  ///< shapes that differ; all bars are one, all rings are one
  std::size_t figure_classes = 0;
};

/// Whether a glyph bends or branches; rings with a stroke do: %.
bool is_figure(const GlyphField& field, const std::vector<Stand>& glyph) {
  bool bar = false;
  bool ring = false;
  for (const Stand& stand : glyph) {
    const GlyphBuild build = field.shapes[stand.piece].build;
    if (build == GlyphBuild::figure) return true;
    bar |= build == GlyphBuild::bar;
    ring |= build == GlyphBuild::ring;
  }
  return bar && ring;
}

std::vector<Letter> tall_glyphs(const GlyphField& field, const GlyphRow& row) {
  std::vector<Letter> letters;
  for (const std::vector<Stand>& glyph : stacked_glyphs(row.stands)) {
    const Stand& main = *std::max_element(glyph.begin(), glyph.end(), [&](const Stand& a, const Stand& b) {
      return field.shapes[a.piece].stroke_mm < field.shapes[b.piece].stroke_mm;
    });
    if (main.height_mm() < letter::tall * row.height_mm) continue;
    letters.push_back({main, glyph.size(), is_figure(field, glyph)});
  }
  return letters;
}

Letters letters_of(const GlyphField& field, const GlyphRow& row) {
  Letters letters;
  letters.all = tall_glyphs(field, row);
  std::vector<const Letter*> classes;
  bool bars = false;
  bool rings = false;
  for (const Letter& letter : letters.all) {
    const GlyphShape& shape = field.shapes[letter.stand.piece];
    bars |= !letter.figure && shape.build == GlyphBuild::bar;
    rings |= !letter.figure && shape.build == GlyphBuild::ring;
    if (!letter.figure) continue;
    ++letters.figures;
    const auto same = [&](const Letter* other) {
      return other->pieces == letter.pieces && alike(field.shapes[other->stand.piece], shape);
    };
    if (classes.size() < most_classes && std::none_of(classes.begin(), classes.end(), same)) classes.push_back(&letter);
  }
  letters.figure_classes = classes.size();
  letters.classes = classes.size() + (bars ? 1 : 0) + (rings ? 1 : 0);
  return letters;
}

bool differ(const Letters& letters) {
  const std::size_t count = letters.all.size();
  if (letters.figure_classes < least_figures) return false;
  if (static_cast<double>(letters.figures) < figure_share * static_cast<double>(count)) return false;
  return letters.classes >= std::clamp(count / letters_per_class, least_classes, enough_classes);
}

/// The two heights that most share, of those that at least two share.
std::vector<double> shared_levels(std::vector<double> heights, double tolerance_mm, std::size_t& most) {
  std::vector<double> levels;
  std::sort(heights.begin(), heights.end());
  for (int k = 0; k < 2; ++k) {
    const Level level = densest(heights, tolerance_mm);
    most = std::max(most, level.count);
    if (level.count < 2) break;
    levels.push_back(level.at);
    const auto beside = [&](double height) { return std::abs(height - level.at) <= 2 * tolerance_mm; };
    heights.erase(std::remove_if(heights.begin(), heights.end(), beside), heights.end());
  }
  return levels;
}

/// How the letters of a row share their lines.
struct Alignment {
  std::vector<bool> both;   ///< by letter: stands where others stand and reaches where others reach
  std::size_t aligned = 0;  ///< either of them, loosely
  std::size_t most = 0;     ///< on one and the same line
};

Alignment alignment_of(const Letters& letters, double height_mm) {
  std::vector<double> lows;
  std::vector<double> highs;
  for (const Letter& letter : letters.all) {
    lows.push_back(letter.stand.low_mm);
    highs.push_back(letter.stand.high_mm);
  }
  const double tolerance_mm = letter::alignment * height_mm;
  Alignment alignment;
  const std::vector<double> low_levels = shared_levels(lows, tolerance_mm, alignment.most);
  const std::vector<double> high_levels = shared_levels(highs, tolerance_mm, alignment.most);
  const auto off = [&](const std::vector<double>& levels, double value) {
    double least = 1e300;
    for (const double level : levels) least = std::min(least, std::abs(level - value));
    return least / height_mm;
  };
  for (const Letter& letter : letters.all) {
    const double low = off(low_levels, letter.stand.low_mm);
    const double high = off(high_levels, letter.stand.high_mm);
    alignment.both.push_back(low <= letter::close_alignment && high <= letter::close_alignment);
    alignment.aligned += low <= loose_alignment || high <= loose_alignment;
  }
  return alignment;
}

/// Distance between the boxes of two pieces along and across a line.
double box_gap_mm(const Stand& a, const Stand& b) {
  const double along = std::max({0.0, a.from_mm - b.to_mm, b.from_mm - a.to_mm});
  const double across = std::max({0.0, a.low_mm - b.high_mm, b.low_mm - a.high_mm});
  return std::hypot(along, across);
}

/// Letters that have something of their size that is not in the line closer than their neighbour in it.
std::size_t crowded(const GlyphField& field, const Letters& letters, const GlyphRow& row) {
  std::vector<std::uint32_t> own;
  for (const Stand& stand : row.stands) own.push_back(stand.piece);
  std::sort(own.begin(), own.end());
  std::vector<std::uint32_t> near;
  std::size_t count = 0;
  for (std::size_t i = 0; i < letters.all.size(); ++i) {
    const Stand& stand = letters.all[i].stand;
    double gap_mm = letter::word_space * row.height_mm;
    if (i > 0) gap_mm = std::min(gap_mm, box_gap_mm(stand, letters.all[i - 1].stand));
    if (i + 1 < letters.all.size()) gap_mm = std::min(gap_mm, box_gap_mm(stand, letters.all[i + 1].stand));
    const GlyphShape& shape = field.shapes[stand.piece];
    const double reach_mm = gap_mm + (shape.size_mm + largest_stranger * row.height_mm) / 2;
    field.index.near(shape.middle, reach_mm, letter::tall * row.height_mm, largest_stranger * row.height_mm, near);
    count += std::any_of(near.begin(), near.end(), [&](std::uint32_t other) {
      if (!field.free(other) || field.shapes[other].hole != shape.hole) return false;
      if (std::binary_search(own.begin(), own.end(), other)) return false;
      return box_gap_mm(stand, stand_on(row.line, field.shapes[other], other)) < gap_mm;
    });
  }
  return count;
}

/// Gaps between letters, in heights; less than 0 where they overlap.
std::vector<double> gaps_of(const Letters& letters, double height_mm) {
  std::vector<double> gaps;
  for (std::size_t i = 1; i < letters.all.size(); ++i)
    gaps.push_back((letters.all[i].stand.from_mm - letters.all[i - 1].stand.to_mm) / height_mm);
  return gaps;
}

/// How many letters speak for the row: those that bend or branch and share both the line they stand on and their top,
/// less those that crowd with others and those that are set unevenly.
double evidence(const GlyphField& field, const Letters& letters, const Alignment& alignment, const GlyphRow& row) {
  double speaking = 0;
  for (std::size_t i = 0; i < letters.all.size(); ++i) speaking += letters.all[i].figure && alignment.both[i];
  std::vector<double> gaps = gaps_of(letters, row.height_mm);
  const auto overlapping = std::count_if(gaps.begin(), gaps.end(), [](double gap) { return gap < -overlap_ratio; });
  const double usual = median(gaps);
  for (double& gap : gaps) gap = std::abs(gap - usual);
  return speaking - static_cast<double>(crowded(field, letters, row)) -
         overlap_cost * static_cast<double>(overlapping) - std::clamp(median(gaps) - even_spacing, 0.0, 1.0);
}

/// How many must speak for a row where nothing else is around.
double least_needed(const Letters& letters) {
  return std::max(least_evidence, evidence_share * static_cast<double>(letters.all.size()));
}

/// How many must speak for a row: the more pieces there are that could be letters and are not in it, the more rows
/// there are that come about by chance.
double evidence_needed(const GlyphField& field, const Letters& letters, const GlyphRow& row) {
  const double others = static_cast<double>(field.strangers_to(row));
  return std::max(least_needed(letters), least_evidence + evidence_per_fold * std::log1p(others));
}

bool are_set_as_letters(const GlyphField& field, const Letters& letters, double height_mm) {
  std::vector<double> widths;
  std::size_t dense = 0;
  for (std::size_t i = 0; i < letters.all.size(); ++i) {
    const Stand& stand = letters.all[i].stand;
    const GlyphShape& shape = field.shapes[stand.piece];
    widths.push_back(shape.width_mm);
    const double area_mm2 = std::max(stand.to_mm - stand.from_mm, 2 * shape.width_mm) * stand.height_mm();
    dense += shape.build == GlyphBuild::figure && shape.stroke_mm * stand.height_mm() > densest_strokes * area_mm2;
  }
  const double width_mm = median(widths);
  std::size_t like = 0;
  for (const double width : widths) like += width < like_width_ratio * width_mm && width_mm < like_width_ratio * width;
  const double count = static_cast<double>(widths.size());
  return static_cast<double>(like) >= like_width_share * count && median(gaps_of(letters, height_mm)) <= usual_gap &&
         width_mm <= thickest_stroke * height_mm && static_cast<double>(dense) <= dense_share * count;
}

}  // namespace

std::vector<std::vector<Stand>> stacked_glyphs(const std::vector<Stand>& stands) {
  std::vector<std::vector<Stand>> glyphs;
  std::vector<Extent> extents;
  for (const Stand& stand : stands) {
    // What stacks stands next to one another in order along the line: looking a few back is enough.
    std::size_t home = glyphs.size();
    for (std::size_t k = glyphs.size(); k-- > 0 && glyphs.size() - k <= 3;)
      if (stack(extents[k], stand)) {
        home = k;
        break;
      }
    if (home == glyphs.size()) {
      glyphs.emplace_back();
      extents.emplace_back();
    }
    glyphs[home].push_back(stand);
    extents[home].add(stand);
  }
  return glyphs;
}

std::optional<NoLettering> why_not(const GlyphField& field, const GlyphRow& row) {
  if (row.height_mm > tallest_glyph_mm) return NoLettering::uneven;
  const Letters letters = letters_of(field, row);
  if (letters.all.size() < (row.line.curved() ? least_bent : least_glyphs)) return NoLettering::few;
  if (!differ(letters)) return NoLettering::copies;
  const Alignment alignment = alignment_of(letters, row.height_mm);
  const double count = static_cast<double>(letters.all.size());
  if (static_cast<double>(alignment.aligned) < aligned_share * count ||
      static_cast<double>(alignment.most) < standing_share * count)
    return NoLettering::uneven;
  if (!are_set_as_letters(field, letters, row.height_mm)) return NoLettering::uneven;
  const double speaking = evidence(field, letters, alignment, row);
  if (speaking < least_needed(letters)) return NoLettering::uneven;
  if (speaking < evidence_needed(field, letters, row)) return NoLettering::doubtful;
  return std::nullopt;
}

}  // namespace beadwise
