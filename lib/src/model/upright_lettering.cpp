#include "model/upright_lettering.hpp"

#include <algorithm>

#include "model/upright_strokes.hpp"
#include "model/wall_relief.hpp"

namespace beadwise {

namespace {

constexpr std::size_t most_lines = 64;

/// The relief's rows with the cells of one line of letters alone, from its first layer to its last.
std::vector<ReliefRow> rows_of(const WallRelief& relief, const LetteringLine& line) {
  std::vector<char> wanted(relief.pieces.size(), 0);
  for (const std::size_t piece : line.pieces) wanted[piece] = 1;
  std::vector<ReliefRow> rows;
  std::size_t kept = 0;
  for (const ReliefRow& row : relief.rows) {
    ReliefRow own = row;
    own.cells.clear();
    for (const ReliefCell& cell : row.cells)
      if (wanted[cell.piece]) own.cells.push_back(cell);
    if (own.cells.empty() && rows.empty()) continue;
    rows.push_back(std::move(own));
    if (!rows.back().cells.empty()) kept = rows.size();
  }
  rows.resize(kept);
  return rows;
}

double mean_bead_mm(const std::vector<ReliefRow>& rows) {
  double sum_mm = 0;
  std::size_t count = 0;
  for (const ReliefRow& row : rows)
    for (const ReliefCell& cell : row.cells) {
      sum_mm += 2 * cell.half_mm;
      ++count;
    }
  return sum_mm / static_cast<double>(count);
}

UprightLettering lettering_of(const WallFace& face, const WallRelief& relief, const LetteringLine& line,
                              const std::vector<ReliefRow>& rows) {
  UprightLettering lettering;
  lettering.line = line;
  lettering.sunk = relief.sunk;
  lettering.depth_mm = relief.depth_mm;
  lettering.layer_mm = relief.layer_mm;
  lettering.bead_mm = mean_bead_mm(rows);
  lettering.radius_mm = face.line.radius_mm;
  lettering.outward_deg = face.line.outward_deg((line.from_mm.x + line.to_mm.x) / 2);
  lettering.first_layer = rows.front().layer;
  lettering.last_layer = rows.back().layer;
  const UprightRelief place{face.line, relief};
  lettering.first_place = place.at(rows.front(), rows.front().cells.front(), 0);
  for (const ReliefRow& row : rows)
    for (const ReliefCell& cell : row.cells) {
      const UprightPlace at = place.at(row, cell, 0);
      lettering.box_mm.add(Point{at.from.x, at.from.y, row.bottom_mm});
      lettering.box_mm.add(Point{at.to.x, at.to.y, row.top_mm});
    }
  for (const std::size_t piece : line.pieces) lettering.stroke_length_mm += relief.pieces[piece].stroke_mm;
  return lettering;
}

}  // namespace

UprightLetterFinder::UprightLetterFinder(const UprightLimits& limits)
    : limits_(limits), faces_([this](const WallFace& face) { look_at(face); }) {}

void UprightLetterFinder::look_at(const WallFace& face) {
  const std::size_t before = found_.size();
  // Bold letters on a narrow face may cover more of it than they leave free.
  for (const double base_mm : depths_of(face)) {
    for (const WallRelief& relief : reliefs_of(face, base_mm)) take_in(face, relief);
    if (found_.size() > before) return;
  }
}

void UprightLetterFinder::take_in(const WallFace& face, const WallRelief& relief) {
  for (const LetteringLine& line : find_lettering(relief.pieces)) {
    if (found_.size() == most_lines) return;
    const std::vector<ReliefRow> rows = rows_of(relief, line);
    found_.push_back(lettering_of(face, relief, line, rows));
    measure_strokes(UprightRelief{face.line, relief}, rows, limits_, found_.back());
  }
}

}  // namespace beadwise
