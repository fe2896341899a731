#include "model/wall_relief.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

namespace beadwise {

namespace {

constexpr double depth_window_mm = 0.06;
// Beads of changing width move a wall by a tenth of a millimetre: common practice.
constexpr double least_depth_ratio = 0.6;
constexpr double most_depth_ratio = 1.4;
constexpr double common_depth_share = 0.7;  // of what steps out lies at one depth
constexpr double cell_ratio = 0.5;          // of the depth: what stands out by more is relief
// Of what lies at the most common depth: bold letters may cover more of a face than they leave free, not much more.
constexpr double bold_ratio = 0.5;
constexpr double joint_mm = 0.2;  // within relief: a seam, the end of a bead
constexpr std::size_t most_pieces = 2000;
constexpr std::size_t most_pause_rows = 100;
constexpr double next_row_slack = 0.3;  // of a layer's height

struct Depth {
  double at_mm = 0;
  double area_mm2 = 0;
};

struct Sample {
  double depth_mm = 0;
  double area_mm2 = 0;
};

/// The depth around which most of the area lies.
Depth densest(std::vector<Sample> samples) {
  std::sort(samples.begin(), samples.end(), [](const Sample& a, const Sample& b) { return a.depth_mm < b.depth_mm; });
  Depth best{.at_mm = 0, .area_mm2 = -1};
  double area_mm2 = 0;
  double moment = 0;
  for (std::size_t first = 0, last = 0; last < samples.size(); ++last) {
    area_mm2 += samples[last].area_mm2;
    moment += samples[last].area_mm2 * samples[last].depth_mm;
    for (; samples[last].depth_mm - samples[first].depth_mm > depth_window_mm; ++first) {
      area_mm2 -= samples[first].area_mm2;
      moment -= samples[first].area_mm2 * samples[first].depth_mm;
    }
    if (area_mm2 > best.area_mm2 && area_mm2 > 0) best = {moment / area_mm2, area_mm2};
  }
  return best;
}

/// Calls `visit(run, height_mm)` for every run of a face.
template <class Visit>
void each_run(const WallFace& face, Visit&& visit) {
  for (const FaceRow& row : face.rows)
    for (std::size_t i = 0; i < row.runs; ++i) visit(face.runs[row.first_run + i], row.top_mm - row.bottom_mm);
}

double area_mm2(const FaceRun& run, double height_mm) {
  return std::max(0.0, static_cast<double>(run.to_mm - run.from_mm)) * height_mm;
}

/// The depth that most of what steps out has, or steps in for a sign of -1.
std::optional<double> common_depth(const WallFace& face, double base_mm, double sign) {
  std::vector<Sample> samples;
  double all_mm2 = 0;
  each_run(face, [&](const FaceRun& run, double height_mm) {
    const double depth_mm = sign * (static_cast<double>(run.out_mm) - base_mm);
    if (depth_mm < StepLimits{}.least_mm) return;
    samples.push_back({depth_mm, area_mm2(run, height_mm)});
    all_mm2 += samples.back().area_mm2;
  });
  const double depth_mm = densest(samples).at_mm;
  double like_mm2 = 0;
  for (const Sample& sample : samples)
    if (sample.depth_mm >= least_depth_ratio * depth_mm && sample.depth_mm <= most_depth_ratio * depth_mm)
      like_mm2 += sample.area_mm2;
  if (!(depth_mm > 0) || like_mm2 < common_depth_share * all_mm2) return std::nullopt;
  return depth_mm;
}

double usual_height_mm(const WallFace& face) {
  std::vector<double> heights;
  for (const FaceRow& row : face.rows) heights.push_back(row.top_mm - row.bottom_mm);
  const auto middle = heights.begin() + static_cast<std::ptrdiff_t>(heights.size() / 2);
  std::nth_element(heights.begin(), middle, heights.end());
  return *middle;
}

/// Layers of the face that had no steps have no row there; they come in empty.
void add_empty_rows(const FaceRow& next, double layer_mm, std::vector<ReliefRow>& rows) {
  if (rows.empty()) return;
  for (std::size_t i = 0; i < most_pause_rows; ++i) {
    const ReliefRow& last = rows.back();
    if (next.bottom_mm - last.top_mm < next_row_slack * layer_mm) return;
    rows.push_back({.layer = last.layer + 1,
                    .bottom_mm = last.top_mm,
                    .top_mm = std::min(last.top_mm + layer_mm, next.bottom_mm),
                    .cells = {}});
  }
}

std::vector<ReliefCell> cells_of(const WallFace& face, const FaceRow& row, double base_mm, double sign,
                                 double depth_mm) {
  std::vector<ReliefCell> cells;
  std::size_t last_cell_run = 0;
  for (std::size_t i = 0; i < row.runs; ++i) {
    const FaceRun& run = face.runs[row.first_run + i];
    const double here_mm = sign * (static_cast<double>(run.out_mm) - base_mm);
    if (here_mm < cell_ratio * depth_mm || here_mm > (1 + cell_ratio) * depth_mm || run.to_mm <= run.from_mm) continue;
    const double from_mm = static_cast<double>(run.from_mm);
    const bool next_to_relief = !cells.empty() && last_cell_run + 1 == i;
    last_cell_run = i;
    if (next_to_relief && from_mm - cells.back().to_mm <= joint_mm) {
      cells.back().to_mm = std::max(cells.back().to_mm, static_cast<double>(run.to_mm));
      continue;
    }
    cells.push_back({.from_mm = from_mm,
                     .to_mm = static_cast<double>(run.to_mm),
                     .half_mm = static_cast<double>(run.half_mm),
                     .line = row.first_line + run.line});
  }
  return cells;
}

/// Gathers the cells of a relief into connected pieces and draws their outlines.
class PieceDrawer {
 public:
  explicit PieceDrawer(WallRelief& relief) : relief_(relief) {}

  /// False where there are more than lettering has.
  bool draw() {
    number();
    std::vector<std::uint32_t> piece_of(root_.size());
    for (std::uint32_t i = 0; i < root_.size(); ++i) {
      const std::uint32_t root = find(i);
      if (root == i) {
        if (relief_.pieces.size() == most_pieces) return false;
        piece_of[i] = static_cast<std::uint32_t>(relief_.pieces.size());
        relief_.pieces.emplace_back().hole = relief_.sunk;
      }
      piece_of[i] = piece_of[root];
    }
    std::uint32_t next = 0;
    for (ReliefRow& row : relief_.rows)
      for (ReliefCell& cell : row.cells) cell.piece = piece_of[next++];
    areas_.assign(relief_.pieces.size(), 0);
    for (std::size_t r = 0; r < relief_.rows.size(); ++r) draw_row(r);
    for (std::size_t i = 0; i < relief_.pieces.size(); ++i) measure(relief_.pieces[i], areas_[i]);
    return true;
  }

 private:
  using Cells = std::vector<ReliefCell>;

  /// Joins cells that lie on each other; of joined ones the lowest number stands for all.
  void number() {
    std::uint32_t first = 0;
    const Cells* below = nullptr;
    std::uint32_t first_below = 0;
    for (const ReliefRow& row : relief_.rows) {
      for (std::uint32_t i = 0; i < row.cells.size(); ++i) root_.push_back(first + i);
      if (below != nullptr) join_rows(*below, first_below, row.cells, first);
      below = &row.cells;
      first_below = first;
      first += static_cast<std::uint32_t>(row.cells.size());
    }
  }

  void join_rows(const Cells& below, std::uint32_t first_below, const Cells& row, std::uint32_t first) {
    for (std::uint32_t i = 0, k = 0; i < below.size() && k < row.size();) {
      if (meet(below[i], row[k])) join(first_below + i, first + k);
      below[i].to_mm < row[k].to_mm ? ++i : ++k;
    }
  }

  std::uint32_t find(std::uint32_t i) {
    while (root_[i] != i) i = root_[i] = root_[root_[i]];
    return i;
  }

  void join(std::uint32_t a, std::uint32_t b) {
    a = find(a);
    b = find(b);
    root_[std::max(a, b)] = std::min(a, b);
  }

  static double middle_mm(const ReliefRow& row) { return (row.bottom_mm + row.top_mm) / 2; }

  void line(std::uint32_t piece, PlanePoint from, PlanePoint to) {
    if (from.x != to.x || from.y != to.y) relief_.pieces[piece].lines.push_back({from, to});
  }

  /// Up to the next row and over the cells that nothing lies on; below the cells that lie on nothing.
  void draw_row(std::size_t r) {
    const ReliefRow& row = relief_.rows[r];
    static const ReliefRow none;
    const ReliefRow& below = r > 0 ? relief_.rows[r - 1] : none;
    const ReliefRow& above = r + 1 < relief_.rows.size() ? relief_.rows[r + 1] : none;
    const auto on = [](const ReliefCell& cell, const ReliefRow& other) {
      const auto one = std::upper_bound(other.cells.begin(), other.cells.end(), cell.from_mm,
                                        [](double from_mm, const ReliefCell& it) { return from_mm < it.to_mm; });
      return one != other.cells.end() && meet(cell, *one);
    };
    for (const ReliefCell& cell : row.cells) {
      areas_[cell.piece] += (cell.to_mm - cell.from_mm) * (row.top_mm - row.bottom_mm);
      if (!on(cell, below)) draw_end(cell, row.bottom_mm, middle_mm(row));
      if (!on(cell, above)) draw_end(cell, row.top_mm, middle_mm(row));
    }
    draw_sides(row, above);
  }

  void draw_end(const ReliefCell& cell, double end_mm, double middle) {
    line(cell.piece, {cell.from_mm, middle}, {cell.from_mm, end_mm});
    line(cell.piece, {cell.from_mm, end_mm}, {cell.to_mm, end_mm});
    line(cell.piece, {cell.to_mm, end_mm}, {cell.to_mm, middle});
  }

  /// Sides between two rows: of each group of cells that lie on each other, the outermost join, and gaps between cells
  /// of one row end at the next.
  void draw_sides(const ReliefRow& row, const ReliefRow& above) {
    const Cells& a = row.cells;
    const Cells& b = above.cells;
    const double low = middle_mm(row);
    const double high = middle_mm(above);
    for (std::size_t i = 0, k = 0; i < a.size() && k < b.size();) {
      if (!meet(a[i], b[k])) {
        a[i].to_mm < b[k].to_mm ? ++i : ++k;
        continue;
      }
      const std::uint32_t piece = a[i].piece;
      line(piece, {a[i].from_mm, low}, {b[k].from_mm, high});
      while (true) {
        if (i + 1 < a.size() && meet(a[i + 1], b[k])) {
          draw_gap(piece, a[i].to_mm, a[i + 1].from_mm, low, row.top_mm);
          ++i;
        } else if (k + 1 < b.size() && meet(a[i], b[k + 1])) {
          draw_gap(piece, b[k].to_mm, b[k + 1].from_mm, high, row.top_mm);
          ++k;
        } else {
          break;
        }
      }
      line(piece, {a[i].to_mm, low}, {b[k].to_mm, high});
      ++i;
      ++k;
    }
  }

  void draw_gap(std::uint32_t piece, double from_mm, double to_mm, double middle, double end_mm) {
    line(piece, {from_mm, middle}, {from_mm, end_mm});
    line(piece, {from_mm, end_mm}, {to_mm, end_mm});
    line(piece, {to_mm, end_mm}, {to_mm, middle});
  }

  static void measure(GlyphPiece& piece, double area_mm2) {
    double edge_mm = 0;
    for (const PlaneSegment& line : piece.lines)
      edge_mm += std::hypot(line.to.x - line.from.x, line.to.y - line.from.y);
    if (edge_mm <= 0) return;
    piece.width_mm = 2 * area_mm2 / edge_mm;
    piece.stroke_mm = edge_mm / 2;
  }

  WallRelief& relief_;
  std::vector<std::uint32_t> root_;  ///< by cell, in order of rows
  std::vector<double> areas_;        ///< by piece
};

}  // namespace

std::vector<double> depths_of(const WallFace& face) {
  std::vector<Sample> samples;
  each_run(face, [&](const FaceRun& run, double height_mm) {
    samples.push_back({static_cast<double>(run.out_mm), area_mm2(run, height_mm)});
  });
  const Depth first = densest(samples);
  std::vector<double> depths{first.at_mm};
  const auto near = [&](const Sample& sample) { return std::abs(sample.depth_mm - first.at_mm) <= depth_window_mm; };
  samples.erase(std::remove_if(samples.begin(), samples.end(), near), samples.end());
  if (samples.empty()) return depths;
  const Depth second = densest(std::move(samples));
  if (second.area_mm2 >= bold_ratio * first.area_mm2) depths.push_back(second.at_mm);
  return depths;
}

std::vector<WallRelief> reliefs_of(const WallFace& face, double base_mm) {
  std::vector<WallRelief> reliefs;
  for (const bool sunk : {false, true}) {
    const double sign = sunk ? -1 : 1;
    const auto depth_mm = common_depth(face, base_mm, sign);
    if (!depth_mm) continue;
    WallRelief relief{.sunk = sunk,
                      .depth_mm = *depth_mm,
                      .layer_mm = usual_height_mm(face),
                      .base_mm = base_mm,
                      .rows = {},
                      .pieces = {}};
    for (const FaceRow& row : face.rows) {
      add_empty_rows(row, relief.layer_mm, relief.rows);
      relief.rows.push_back({.layer = row.layer,
                             .bottom_mm = row.bottom_mm,
                             .top_mm = row.top_mm,
                             .cells = cells_of(face, row, base_mm, sign, *depth_mm)});
    }
    if (PieceDrawer(relief).draw() && !relief.pieces.empty()) reliefs.push_back(std::move(relief));
  }
  return reliefs;
}

}  // namespace beadwise
