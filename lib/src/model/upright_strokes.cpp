#include "model/upright_strokes.hpp"

#include <algorithm>
#include <cmath>

namespace beadwise {

namespace {

constexpr double least_level_length = 1.5;    // of its height
constexpr double least_upright_length = 1.5;  // of its width
constexpr double least_gap_length = 2;        // of its width
constexpr double least_wedge_length = 4;      // likewise, of one that goes on in a wider one
// In the wedge where two strokes meet, the width falls evenly to nothing: half of its length is narrower than half its
// width. In a gap between strokes side by side hardly any is.
constexpr double even_gap_ratio = 0.5;
constexpr double even_gap_share = 0.6;
constexpr double widest_stroke_mm = 6;  // wider ones are nowhere too narrow
constexpr double joint_mm = 0.02;
constexpr double rounding = 0.01;  // of layers: heights are written to a micrometre

using Cells = std::vector<ReliefCell>;

/// What of a cell other cells leave free, or cover.
Cells parts_of(const ReliefCell& cell, const Cells& others, bool covered) {
  Cells parts;
  double from_mm = cell.from_mm;
  const auto add = [&](double a, double b) {
    ReliefCell part = cell;
    part.from_mm = a;
    part.to_mm = b;
    if (b > a) parts.push_back(part);
  };
  for (const ReliefCell& other : others) {
    if (!meet(cell, other)) continue;
    if (covered) add(std::max(cell.from_mm, other.from_mm), std::min(cell.to_mm, other.to_mm));
    if (!covered) add(from_mm, other.from_mm);
    from_mm = std::max(from_mm, other.to_mm);
  }
  if (!covered) add(from_mm, cell.to_mm);
  return parts;
}

/// What lies between the cells of each row, from the leftmost of all to the rightmost.
std::vector<Cells> gaps_between(const std::vector<ReliefRow>& rows) {
  ReliefCell whole{.from_mm = 1e300, .to_mm = -1e300};
  for (const ReliefRow& row : rows)
    for (const ReliefCell& cell : row.cells) {
      whole.from_mm = std::min(whole.from_mm, cell.from_mm);
      whole.to_mm = std::max(whole.to_mm, cell.to_mm);
      whole.line = cell.line;
      whole.half_mm = cell.half_mm;
    }
  std::vector<Cells> gaps;
  for (const ReliefRow& row : rows) {
    gaps.push_back(parts_of(whole, row.cells, false));
    if (row.cells.empty()) continue;
    for (ReliefCell& gap : gaps.back()) gap.line = row.cells.front().line;
  }
  return gaps;
}

/// A part of a level stroke: how many layers lie on each other, the topmost of them.
struct Level {
  ReliefCell cell;
  std::size_t top = 0;
  int layers = 0;
};

/// Level strokes of up to `most_level_layers`, or level gaps that have something over and under them.
class LevelFinder {
 public:
  LevelFinder(const std::vector<Cells>& rows, bool enclosed) : rows_(rows), enclosed_(enclosed) {}

  std::vector<Level> find() {
    for (std::size_t top = 0; top < rows_.size(); ++top) {
      const bool last = top + 1 == rows_.size();
      if (last && enclosed_) break;
      for (const ReliefCell& cell : rows_[top])
        for (const ReliefCell& part : last ? Cells{cell} : parts_of(cell, rows_[top + 1], false)) descend(part, top, 1);
    }
    std::sort(found_.begin(), found_.end(), [](const Level& a, const Level& b) {
      return a.cell.from_mm < b.cell.from_mm || (a.cell.from_mm == b.cell.from_mm && a.top < b.top);
    });
    return std::move(found_);
  }

 private:
  void descend(const ReliefCell& part, std::size_t top, int layers) {
    const std::size_t here = top + 1 - static_cast<std::size_t>(layers);
    const bool lowest = here == 0;
    if (lowest && enclosed_) return;
    for (const ReliefCell& end : lowest ? Cells{part} : parts_of(part, rows_[here - 1], false))
      found_.push_back({end, top, layers});
    if (lowest || layers == most_level_layers) return;
    for (const ReliefCell& more : parts_of(part, rows_[here - 1], true)) descend(more, top, layers + 1);
  }

  const std::vector<Cells>& rows_;
  bool enclosed_;
  std::vector<Level> found_;
};

/// Joins parts of up to `layers` layers that go on beside each other, by at most as many layers higher or lower.
std::vector<Level> stretches(const std::vector<Level>& parts, int layers) {
  std::vector<Level> open;
  std::vector<Level> done;
  for (const Level& part : parts) {
    if (part.layers > layers) continue;
    const auto ended = std::stable_partition(
        open.begin(), open.end(), [&](const Level& one) { return one.cell.to_mm >= part.cell.from_mm - joint_mm; });
    done.insert(done.end(), ended, open.end());
    open.erase(ended, open.end());
    const auto same = std::find_if(open.begin(), open.end(), [&](const Level& one) {
      const std::size_t apart = std::max(one.top, part.top) - std::min(one.top, part.top);
      return one.cell.to_mm <= part.cell.from_mm + joint_mm && apart <= static_cast<std::size_t>(layers);
    });
    if (same == open.end()) {
      open.push_back(part);
      continue;
    }
    same->cell.to_mm = part.cell.to_mm;
    same->top = part.top;
  }
  done.insert(done.end(), open.begin(), open.end());
  return done;
}

/// Stretches that are level strokes: longer than high, and than a bead is wide.
std::vector<Level> level_strokes(const std::vector<Level>& parts, int layers, double layer_mm, double bead_mm) {
  std::vector<Level> strokes = stretches(parts, layers);
  const double least_mm = std::max(least_level_length * layers * layer_mm, bead_mm);
  strokes.erase(std::remove_if(strokes.begin(), strokes.end(),
                               [&](const Level& one) { return one.cell.to_mm - one.cell.from_mm < least_mm; }),
                strokes.end());
  return strokes;
}

/// A stroke that goes on upwards.
struct Upright {
  ReliefCell cell;  ///< of its lowest layer
  std::size_t row = 0;
  double widest_mm = 0;
  double length_mm = 0;
};

/// The one cell that a cell goes on in; none where it ends, branches or meets another.
const ReliefCell* next_of(const ReliefCell& cell, const Cells& row, const Cells& above) {
  const ReliefCell* next = nullptr;
  for (const ReliefCell& one : above) {
    if (!meet(cell, one)) continue;
    if (next != nullptr) return nullptr;
    next = &one;
  }
  if (next == nullptr) return nullptr;
  const auto under = std::count_if(row.begin(), row.end(), [&](const ReliefCell& one) { return meet(one, *next); });
  return under == 1 ? next : nullptr;
}

/// From a cell upwards until it is longer than `least_mm` and one and a half times its width; false where it ends
/// before.
bool follow(const std::vector<Cells>& rows, const std::vector<ReliefRow>& heights, double least_mm, Upright& it) {
  const ReliefCell* cell = &it.cell;
  for (std::size_t r = it.row;; ++r) {
    it.widest_mm = std::max(it.widest_mm, cell->to_mm - cell->from_mm);
    it.length_mm += heights[r].top_mm - heights[r].bottom_mm;
    if (it.widest_mm > widest_stroke_mm) return false;
    if (it.length_mm >= std::max(least_mm, least_upright_length * it.widest_mm)) return true;
    if (r + 1 == rows.size()) return false;
    cell = next_of(*cell, rows[r], rows[r + 1]);
    if (cell == nullptr) return false;
  }
}

/// Measures one line of letters.
class StrokeMeasure {
 public:
  StrokeMeasure(const UprightRelief& relief, const std::vector<ReliefRow>& rows, const UprightLimits& limits,
                UprightLettering& lettering)
      : relief_(relief), rows_(rows), limits_(limits), lettering_(lettering), gaps_(gaps_between(rows)) {
    for (const ReliefRow& row : rows) cells_.push_back(row.cells);
  }

  void measure() {
    const double layers = std::ceil(limits_.stroke_mm / lettering_.layer_mm - rounding);
    lettering_.asked_layers = std::max(limits_.stroke_layers, static_cast<int>(layers));
    lettering_.asked_mm = lettering_.sunk ? limits_.stroke_mm : limits_.stroke_beads * lettering_.bead_mm;
    measure_level_strokes();
    measure_level_gaps();
    measure_upright_strokes();
    leave_out_open_sides();
    measure_upright_gaps();
  }

 private:
  void keep(std::vector<UprightPlace>& places, std::size_t row, const ReliefCell& cell, double value) const {
    if (places.size() < most_upright_places) places.push_back(relief_.at(rows_[row], cell, value));
  }

  void measure_level_strokes() {
    const std::vector<Level> parts = LevelFinder(cells_, false).find();
    for (int layers = 1; layers <= most_level_layers && lettering_.lowest_layers == 0; ++layers)
      if (!level_strokes(parts, layers, lettering_.layer_mm, lettering_.bead_mm).empty())
        lettering_.lowest_layers = layers;
    if (lettering_.asked_layers < 2 || lettering_.lowest_layers >= lettering_.asked_layers) return;
    const int low = std::min(lettering_.asked_layers - 1, most_level_layers);
    for (const Level& one : level_strokes(parts, low, lettering_.layer_mm, lettering_.bead_mm)) {
      lettering_.low_length_mm += one.cell.to_mm - one.cell.from_mm;
      keep(lettering_.low_strokes, one.top, one.cell, one.layers);
    }
  }

  void measure_level_gaps() {
    if (limits_.gap_layers < 2) return;
    const std::vector<Level> parts = LevelFinder(gaps_, true).find();
    const int low = std::min(limits_.gap_layers - 1, most_level_layers);
    for (const Level& one : level_strokes(parts, low, lettering_.layer_mm, lettering_.bead_mm)) {
      const double length_mm = one.cell.to_mm - one.cell.from_mm;
      if (length_mm < least_wedge_length * low * lettering_.layer_mm && widens_beside(parts, one, low)) continue;
      ++lettering_.closing_gaps;
      if (lettering_.lowest_gap_layers == 0 || one.layers < lettering_.lowest_gap_layers)
        lettering_.lowest_gap_layers = one.layers;
      keep(lettering_.gaps, one.top, one.cell, one.layers);
    }
  }

  /// Whether a level gap goes on in a higher one: the corner where two strokes meet.
  static bool widens_beside(const std::vector<Level>& parts, const Level& gap, int layers) {
    return std::any_of(parts.begin(), parts.end(), [&](const Level& part) {
      const bool beside = std::abs(part.cell.from_mm - gap.cell.to_mm) <= joint_mm ||
                          std::abs(part.cell.to_mm - gap.cell.from_mm) <= joint_mm;
      const std::size_t apart = std::max(part.top, gap.top) - std::min(part.top, gap.top);
      return beside && part.layers > layers && apart <= static_cast<std::size_t>(part.layers);
    });
  }

  void measure_upright_strokes() {
    for (std::size_t r = 0; r < cells_.size(); ++r)
      for (const ReliefCell& cell : cells_[r]) {
        Upright it{.cell = cell, .row = r};
        if (!follow(cells_, rows_, lettering_.bead_mm, it)) continue;
        lettering_.narrowest_mm = std::min(lettering_.narrowest_mm, it.widest_mm);
        if (it.widest_mm >= lettering_.asked_mm) continue;
        lettering_.narrow_length_mm += rows_[r].top_mm - rows_[r].bottom_mm;
        keep(lettering_.narrow_strokes, r, cell, it.widest_mm);
      }
  }

  /// What lies beside the first and the last cell of a row is no gap along the wall.
  void leave_out_open_sides() {
    for (std::size_t r = 0; r < gaps_.size(); ++r) {
      const Cells& cells = cells_[r];
      Cells& gaps = gaps_[r];
      gaps.erase(std::remove_if(gaps.begin(), gaps.end(),
                                [&](const ReliefCell& gap) {
                                  return cells.empty() || gap.to_mm <= cells.front().from_mm ||
                                         gap.from_mm >= cells.back().to_mm;
                                }),
                 gaps.end());
    }
  }

  void measure_upright_gaps() {
    const double limit_mm = limits_.gap_beads * lettering_.bead_mm;
    const auto is_narrow = [&](const ReliefCell& gap) { return gap.to_mm - gap.from_mm < limit_mm; };
    for (std::size_t r = 0; r < gaps_.size(); ++r)
      for (const ReliefCell& gap : gaps_[r]) {
        if (!is_narrow(gap)) continue;
        const bool begins = r == 0 || std::none_of(gaps_[r - 1].begin(), gaps_[r - 1].end(), [&](const auto& below) {
                              return is_narrow(below) && next_of(below, gaps_[r - 1], gaps_[r]) == &gap;
                            });
        if (begins) judge_gap(gap, r, is_narrow);
      }
  }

  /// A gap that goes on upwards: whether it lies between strokes side by side, or where two of them meet.
  template <class IsNarrow>
  void judge_gap(const ReliefCell& lowest, std::size_t row, const IsNarrow& is_narrow) {
    std::vector<double> widths;
    const ReliefCell* gap = &lowest;
    for (std::size_t r = row; gap != nullptr && is_narrow(*gap); ++r) {
      widths.push_back(gap->to_mm - gap->from_mm);
      gap = r + 1 < gaps_.size() ? next_of(*gap, gaps_[r], gaps_[r + 1]) : nullptr;
    }
    const bool opens = gap != nullptr || (row > 0 && widens_below(lowest, row));
    const double widest_mm = *std::max_element(widths.begin(), widths.end());
    std::sort(widths.begin(), widths.end());
    const auto even = std::lower_bound(widths.begin(), widths.end(), even_gap_ratio * widest_mm);
    const double rows = static_cast<double>(widths.end() - even);
    const double length_mm = rows * lettering_.layer_mm;
    if (rows < even_gap_share * static_cast<double>(widths.size())) return;
    if (length_mm < std::max((opens ? least_wedge_length : least_gap_length) * widest_mm, lettering_.bead_mm)) return;
    ++lettering_.closing_gaps;
    lettering_.narrowest_gap_mm = std::min(lettering_.narrowest_gap_mm, *even);
    keep(lettering_.gaps, row, lowest, *even);
  }

  bool widens_below(const ReliefCell& gap, std::size_t row) const {
    return std::any_of(gaps_[row - 1].begin(), gaps_[row - 1].end(),
                       [&](const ReliefCell& below) { return next_of(below, gaps_[row - 1], gaps_[row]) == &gap; });
  }

  const UprightRelief& relief_;
  const std::vector<ReliefRow>& rows_;
  const UprightLimits& limits_;
  UprightLettering& lettering_;
  std::vector<Cells> cells_;
  std::vector<Cells> gaps_;
};

}  // namespace

UprightPlace UprightRelief::at(const ReliefRow& row, const ReliefCell& cell, double value) const {
  const double out_mm = relief.base_mm + (relief.sunk ? -relief.depth_mm : relief.depth_mm);
  return {.value = value,
          .from = face.place(cell.from_mm, out_mm),
          .to = face.place(cell.to_mm, out_mm),
          .z_mm = row.top_mm,
          .layer = row.layer,
          .line = cell.line};
}

void measure_strokes(const UprightRelief& relief, const std::vector<ReliefRow>& rows, const UprightLimits& limits,
                     UprightLettering& lettering) {
  StrokeMeasure(relief, rows, limits, lettering).measure();
}

}  // namespace beadwise
