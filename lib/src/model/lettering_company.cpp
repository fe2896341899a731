#include "model/lettering_company.hpp"

#include <algorithm>
#include <cmath>

#include "model/lettering_growth.hpp"
#include "model/lettering_verdict.hpp"

namespace beadwise {

namespace {

constexpr std::uint32_t no_row = 0xffffffff;
constexpr double join_cost = 1.3;          // pieces that a joined line may be worth less than its parts: the gap
constexpr double like_height_ratio = 1.5;  // of lines that are one: capitals and a word of small letters
constexpr double beside_ratio = 2.2;       // heights between a line and its company
constexpr double like_stroke_ratio = 1.4;
constexpr double low_small_letter = 0.55;   // of the height of capitals
constexpr double like_top = 0.12;           // of the height
constexpr double smallest_neighbour = 0.4;  // sizes in heights
constexpr double largest_neighbour = 3;
constexpr std::size_t least_company = 2;

/// The row of each piece.
std::vector<std::uint32_t> rows_by_piece(const GlyphField& field, const std::vector<GlyphRow>& rows) {
  std::vector<std::uint32_t> row_of(field.shapes.size(), no_row);
  for (std::uint32_t r = 0; r < rows.size(); ++r)
    for (const Stand& stand : rows[r].stands) row_of[stand.piece] = r;
  return row_of;
}

class Joining {
 public:
  Joining(const GlyphField& field, std::vector<GlyphRow>& rows)
      : field_(field), rows_(rows), row_of_(rows_by_piece(field, rows)) {}

  void run() {
    for (std::uint32_t r = 0; r < rows_.size(); ++r)
      while (!rows_[r].stands.empty() && join_one(r)) {
      }
    rows_.erase(std::remove_if(rows_.begin(), rows_.end(), [](const GlyphRow& row) { return row.stands.empty(); }),
                rows_.end());
  }

 private:
  bool join_one(std::uint32_t r) {
    for (const std::uint32_t other : rows_at_ends(r)) {
      const GlyphRow& a = rows_[r];
      const GlyphRow& b = rows_[other];
      if (std::max(a.height_mm, b.height_mm) > like_height_ratio * std::min(a.height_mm, b.height_mm)) continue;
      GlyphRow both = joined(field_, a, b);
      if (both.score < a.score + b.score - join_cost || !runs_on(both, a, b) || why_not(field_, both)) continue;
      for (const Stand& stand : b.stands) row_of_[stand.piece] = r;
      rows_[r] = upright(field_, both);
      rows_[other].stands.clear();
      return true;
    }
    return false;
  }

  /// Whether one ends where the other begins, with no wide gap between.
  bool runs_on(const GlyphRow& both, const GlyphRow& a, const GlyphRow& b) const {
    double reach_mm = both.stands.front().to_mm;
    std::size_t changes = 0;
    const auto is_first = [&](const Stand& stand) { return row_of_[stand.piece] == row_of_[a.stands.front().piece]; };
    for (std::size_t i = 1; i < both.stands.size(); ++i) {
      if (both.stands[i].from_mm - reach_mm > letter::widest_space * both.height_mm) return false;
      reach_mm = std::max(reach_mm, both.stands[i].to_mm);
      changes += is_first(both.stands[i]) != is_first(both.stands[i - 1]);
    }
    return changes == 1 && !b.stands.empty();
  }

  std::vector<std::uint32_t> rows_at_ends(std::uint32_t r) {
    const GlyphRow& row = rows_[r];
    std::vector<std::uint32_t> found;
    const double reach_mm = (letter::widest_space + 1) * row.height_mm;
    for (const double along_mm : {row.stands.front().from_mm, row.stands.back().to_mm}) {
      const PlanePoint end = row.line.place(along_mm, row.height_mm / 2);
      field_.index.near(end, reach_mm, smallest_neighbour * row.height_mm, largest_neighbour * row.height_mm, near_);
      for (const std::uint32_t piece : near_) {
        const std::uint32_t other = row_of_[piece];
        if (other != no_row && other != r && std::find(found.begin(), found.end(), other) == found.end())
          found.push_back(other);
      }
    }
    return found;
  }

  const GlyphField& field_;
  std::vector<GlyphRow>& rows_;
  std::vector<std::uint32_t> row_of_;
  std::vector<std::uint32_t> near_;
};

/// Short lines beside one line.
class Company {
 public:
  Company(const GlyphField& field, const GlyphRow& row) : field_(field), row_(row) {}

  std::vector<GlyphRow> lines() {
    std::vector<Stand> free = free_beside();
    std::vector<GlyphRow> found;
    while (free.size() >= least_company) {
      std::vector<double> lows;
      for (const Stand& stand : free) lows.push_back(stand.low_mm);
      std::sort(lows.begin(), lows.end());
      const Level level = densest(lows, letter::alignment * row_.height_mm);
      if (level.count < least_company) break;
      std::vector<Stand> line;
      std::vector<Stand> rest;
      for (const Stand& stand : free)
        (std::abs(stand.low_mm - level.at) <= letter::alignment * row_.height_mm ? line : rest).push_back(stand);
      free = std::move(rest);
      add_runs(line, level.at, found);
    }
    return found;
  }

 private:
  /// Letters as high as those of the line, with strokes as wide, that are no part of any yet.
  std::vector<Stand> free_beside() const {
    std::vector<std::uint32_t> near;
    std::vector<std::uint32_t> pieces;
    const double height_mm = row_.height_mm;
    for (const Stand& letter : row_.stands) {
      field_.index.near(row_.line.place(letter.along_mm, height_mm / 2), (beside_ratio + 1) * height_mm,
                        smallest_neighbour * height_mm, largest_neighbour * height_mm, near);
      pieces.insert(pieces.end(), near.begin(), near.end());
    }
    std::sort(pieces.begin(), pieces.end());
    pieces.erase(std::unique(pieces.begin(), pieces.end()), pieces.end());
    const double width_mm = field_.shapes[row_.stands[row_.stands.size() / 2].piece].width_mm;
    std::vector<Stand> free;
    for (const std::uint32_t piece : pieces) {
      const GlyphShape& shape = field_.shapes[piece];
      if (!field_.free(piece) || shape.hole != field_.shapes[row_.stands.front().piece].hole) continue;
      if (shape.width_mm > like_stroke_ratio * width_mm || width_mm > like_stroke_ratio * shape.width_mm) continue;
      const Stand stand = stand_on(row_.line, shape, piece);
      const double high = stand.height_mm() / height_mm;
      if (high > low_small_letter && high < 1 + like_top) free.push_back(stand);
    }
    return free;
  }

  /// The runs without wide gaps in a line that are letters.
  void add_runs(std::vector<Stand> line, double low_mm, std::vector<GlyphRow>& found) const {
    sort_along(line);
    std::vector<Stand> run;
    const auto close = [&] {
      if (stacked_glyphs(run).size() >= least_company && differ(run)) found.push_back(row_at(run, low_mm));
      run.clear();
    };
    for (const Stand& stand : line) {
      if (!run.empty() && stand.from_mm - run.back().to_mm > letter::widest_space * row_.height_mm) close();
      run.push_back(stand);
    }
    close();
  }

  bool differ(const std::vector<Stand>& run) const {
    bool figure = false;
    bool differ = false;
    for (const Stand& stand : run) {
      figure |= field_.shapes[stand.piece].build == GlyphBuild::figure;
      differ |= !alike(field_.shapes[stand.piece], field_.shapes[run.front().piece]);
    }
    return figure && differ;
  }

  GlyphRow row_at(const std::vector<Stand>& run, double low_mm) const {
    GlyphRow row = row_;
    if (row.line.curved()) {
      row.line.radius_mm += row.line.outside ? low_mm : -low_mm;
    } else {
      row.line.origin = row.line.place(0, low_mm);
    }
    row.height_mm = 0;
    row.stands.clear();
    for (const Stand& stand : run) {
      row.stands.push_back(stand_on(row.line, field_.shapes[stand.piece], stand.piece));
      row.height_mm = std::max(row.height_mm, row.stands.back().high_mm);
    }
    return row;
  }

  const GlyphField& field_;
  const GlyphRow& row_;
};

}  // namespace

void join_rows(const GlyphField& field, std::vector<GlyphRow>& rows) { Joining(field, rows).run(); }

void add_company(GlyphField& field, std::vector<GlyphRow>& rows) {
  for (std::size_t r = 0; r < rows.size(); ++r) {
    std::vector<GlyphRow> lines = Company(field, rows[r]).lines();
    for (GlyphRow& line : lines) {
      field.take(line);
      rows.push_back(std::move(line));
    }
  }
}

}  // namespace beadwise
