#include "model/lettering.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <queue>
#include <set>

#include "model/lettering_company.hpp"
#include "model/lettering_growth.hpp"
#include "model/lettering_seed.hpp"
#include "model/lettering_verdict.hpp"

namespace beadwise {

namespace {

constexpr std::size_t least_pieces = 3;
constexpr double least_score = 0.8;   // pieces that speak for a line, gaps subtracted
constexpr double largest_dot = 0.45;  // of the height: dots, commas, accents
constexpr double smallest_mark = 0.02;
constexpr double largest_fragment = 1.3;
constexpr double highest_mark = 1.75;  // a dot over small letters, an accent over capitals
constexpr double mark_reach = 1.8;     // from the middle of a letter
constexpr double widest_mark = 2;      // of the strokes' width
constexpr double end_reach = 0.6;      // of the height: full stops and quotes after the last letter

/// Finds rows, the best first.
class Search {
 public:
  explicit Search(GlyphField& field) : field_(field) {}

  std::vector<GlyphRow> rows() {
    for (std::uint32_t piece = 0; piece < field_.shapes.size(); ++piece) propose(piece);
    decide_all();
    // Short lines of one label speak for each other.
    for (const GlyphRow& row : doubtful_)
      if (!any_taken(row)) field_.expect(row);
    for (std::size_t before = 0; before != found_.size();) {
      before = found_.size();
      std::vector<GlyphRow> doubtful;
      doubtful.swap(doubtful_);
      for (GlyphRow& row : doubtful)
        if (!any_taken(row)) decide(std::move(row));
    }
    return std::move(found_);
  }

 private:
  struct Proposal {
    GlyphRow row;
    std::uint32_t piece = 0;
    bool operator<(const Proposal& other) const {
      return row.score < other.row.score || (row.score == other.row.score && piece > other.piece);
    }
  };

  void decide_all() {
    while (!queue_.empty()) {
      Proposal proposal = queue_.top();
      queue_.pop();
      if (!field_.free(proposal.piece)) continue;
      if (any_taken(proposal.row)) {
        propose(proposal.piece);
      } else if (tried_.emplace(pieces_of(proposal.row), proposal.row.score).second) {
        decide(grown(field_, std::move(proposal.row)));
      }
    }
  }

  void decide(GlyphRow row) {
    const auto doubt = why_not(field_, row);
    if (doubt == NoLettering::doubtful) doubtful_.push_back(std::move(row));
    if (doubt) return;
    field_.take(row);
    found_.push_back(upright(field_, row));
  }

  static std::vector<std::uint32_t> pieces_of(const GlyphRow& row) {
    std::vector<std::uint32_t> pieces;
    for (const Stand& stand : row.stands) pieces.push_back(stand.piece);
    std::sort(pieces.begin(), pieces.end());
    return pieces;
  }

  bool any_taken(const GlyphRow& row) const {
    return std::any_of(row.stands.begin(), row.stands.end(),
                       [&](const Stand& stand) { return field_.taken[stand.piece] != 0; });
  }

  void propose(std::uint32_t piece) {
    if (!field_.free(piece)) return;
    GlyphRow row = best_row(field_, piece);
    if (row.stands.size() < least_pieces || row.score < least_score) return;
    queue_.push({std::move(row), piece});
  }

  GlyphField& field_;
  std::priority_queue<Proposal> queue_;
  std::set<std::pair<std::vector<std::uint32_t>, double>> tried_;
  std::vector<GlyphRow> doubtful_;
  std::vector<GlyphRow> found_;
};

double median_width_mm(const GlyphField& field, const GlyphRow& row) {
  std::vector<double> widths;
  for (const Stand& stand : row.stands) widths.push_back(field.shapes[stand.piece].width_mm);
  std::nth_element(widths.begin(), widths.begin() + static_cast<std::ptrdiff_t>(widths.size() / 2), widths.end());
  return widths[widths.size() / 2];
}

/// A small piece that a row claims, and how far it lies from the row's middle in heights.
struct Claim {
  std::size_t row = SIZE_MAX;
  double distance = 1e300;
  Stand stand;
};

/// Whether a piece may be a mark or a fragment of a row's letters, by its size.
bool may_be_mark(const GlyphShape& shape, const GlyphRow& row, double width_mm) {
  if (shape.build == GlyphBuild::solid && shape.size_mm > largest_dot * row.height_mm) return false;
  return shape.width_mm <= widest_mark * width_mm;
}

/// Whether a piece stands where a mark or a fragment of a row's letters may.
bool stands_as_mark(const Stand& stand, const GlyphRow& row) {
  return stand.low_mm >= letter::low * row.height_mm && stand.high_mm <= highest_mark * row.height_mm &&
         stand.from_mm >= row.stands.front().from_mm - end_reach * row.height_mm &&
         stand.to_mm <= row.stands.back().to_mm + end_reach * row.height_mm;
}

/// Dots, commas, accents and fragments go to the row in whose band they lie, of two to the nearer.
void take_in_marks(GlyphField& field, std::vector<GlyphRow>& rows) {
  std::vector<Claim> claims(field.shapes.size());
  std::vector<std::uint32_t> near;
  for (std::size_t r = 0; r < rows.size(); ++r) {
    const GlyphRow& row = rows[r];
    const double width_mm = median_width_mm(field, row);
    for (const Stand& letter : row.stands) {
      field.index.near(row.line.place(letter.along_mm, row.height_mm / 2), mark_reach * row.height_mm,
                       smallest_mark * row.height_mm, largest_fragment * row.height_mm, near);
      for (const std::uint32_t piece : near) {
        const GlyphShape& shape = field.shapes[piece];
        if (field.taken[piece] || shape.hole != field.shapes[letter.piece].hole) continue;
        if (!may_be_mark(shape, row, width_mm)) continue;
        const Stand stand = stand_on(row.line, shape, piece);
        if (!stands_as_mark(stand, row)) continue;
        const double distance = std::abs((stand.low_mm + stand.high_mm) / 2 / row.height_mm - 0.5);
        if (distance < claims[piece].distance) claims[piece] = {r, distance, stand};
      }
    }
  }
  for (std::uint32_t piece = 0; piece < claims.size(); ++piece) {
    if (claims[piece].row == SIZE_MAX) continue;
    rows[claims[piece].row].stands.push_back(claims[piece].stand);
    field.taken[piece] = 1;
  }
}

LetteringLine line_of(const GlyphField& field, GlyphRow row) {
  LetteringLine line;
  line.stroke_width_mm = median_width_mm(field, row);
  sort_along(row.stands);
  line.glyphs = stacked_glyphs(row.stands).size();
  double from_mm = 1e300;
  double to_mm = -1e300;
  for (const Stand& stand : row.stands) {
    line.pieces.push_back(stand.piece);
    from_mm = std::min(from_mm, stand.from_mm);
    to_mm = std::max(to_mm, stand.to_mm);
  }
  line.height_mm = row.height_mm;
  line.from_mm = row.line.place(from_mm, 0);
  line.to_mm = row.line.place(to_mm, 0);
  line.curved = row.line.curved();
  line.radius_mm = row.line.radius_mm;
  if (line.curved) line.center_mm = row.line.origin;
  const double angle_deg = row.line.angle_at((from_mm + to_mm) / 2) * 180 / std::numbers::pi;
  line.angle_deg = angle_deg - 180 * std::floor(angle_deg / 180);
  return line;
}

/// What any line of lettering has, whichever pieces stand in it: see `why_not`. A bar with a ring (%) is a figure.
bool may_hold_lettering(const std::vector<GlyphShape>& shapes) {
  for (const bool hole : {false, true}) {
    std::size_t bars = 0;
    std::size_t rings = 0;
    std::size_t figures = 0;
    for (const GlyphShape& shape : shapes) {
      if (shape.hole != hole) continue;
      bars += shape.build == GlyphBuild::bar;
      rings += shape.build == GlyphBuild::ring;
      figures += shape.build == GlyphBuild::figure;
    }
    if (figures + std::min(bars, rings) >= least_figures && bars + rings + figures >= least_pieces) return true;
  }
  return false;
}

}  // namespace

std::vector<LetteringLine> find_lettering(const std::vector<GlyphPiece>& pieces) {
  std::vector<GlyphShape> shapes;
  shapes.reserve(pieces.size());
  for (const GlyphPiece& piece : pieces) shapes.push_back(shape_of(piece));
  if (!may_hold_lettering(shapes)) return {};
  for (std::size_t i = 0; i < pieces.size(); ++i)
    if (shapes[i].build != GlyphBuild::solid) measure_form(pieces[i], shapes[i]);
  GlyphField field(std::move(shapes));
  std::vector<GlyphRow> rows = Search(field).rows();
  join_rows(field, rows);
  add_company(field, rows);
  join_rows(field, rows);
  take_in_marks(field, rows);
  std::vector<LetteringLine> lines;
  for (GlyphRow& row : rows) lines.push_back(line_of(field, std::move(row)));
  std::sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) {
    return *std::min_element(a.pieces.begin(), a.pieces.end()) < *std::min_element(b.pieces.begin(), b.pieces.end());
  });
  return lines;
}

}  // namespace beadwise
