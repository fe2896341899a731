#include "model/wall_faces.hpp"

#include <algorithm>
#include <cmath>

#include "model/islands.hpp"
#include "model/role_kinds.hpp"

namespace beadwise {

namespace {

// A line of letters is nowhere without steps for so long, but between a letter and its dot.
constexpr double longest_pause_mm = 3;
constexpr std::size_t most_faces = 32;
constexpr std::size_t most_runs = 60000;  // of a face; a word of 40 mm height in layers of 0.1 mm has a tenth
constexpr std::size_t most_runs_of_row = 600;
constexpr std::size_t most_tries = 4;  // of faces in one wall and layer
constexpr double least_loop_mm = 12;   // around a face of 8 mm that is a few beads thick
constexpr double reach_mm = 4;
// Of a face that goes on: it runs along it, where it ran before.
constexpr double least_overlap = 0.5;

void leave_out(const FaceRuns& runs, std::vector<WallPiece>& pieces) {
  std::size_t kept = 0;
  for (std::size_t i = 0; i < pieces.size(); ++i)
    if (!runs.on_face[i]) pieces[kept++] = pieces[i];
  pieces.resize(kept);
}

Box box_of(const FaceLine& line, const FaceRuns& runs) {
  Box box;
  for (const FaceRun& run : runs.runs)
    for (const float along_mm : {run.from_mm, run.to_mm}) {
      const PlanePoint at = line.place(static_cast<double>(along_mm), static_cast<double>(run.out_mm - run.half_mm));
      box.add(Point{at.x, at.y, 0});
    }
  return box;
}

/// How far both reach over each other, of the smaller.
bool lies_over(const Box& a, const Box& b) {
  const auto shared = [](double a_low, double a_high, double b_low, double b_high) {
    const double least = std::min(a_high - a_low, b_high - b_low);
    return least < reach_mm || std::min(a_high, b_high) - std::max(a_low, b_low) >= least_overlap * least;
  };
  return overlap(a, b, 0) && shared(a.low.x, a.high.x, b.low.x, b.high.x) &&
         shared(a.low.y, a.high.y, b.low.y, b.high.y);
}

void add_row(const Layer& layer, const FaceRuns& runs, WallFace& face) {
  face.last_layer = layer.number;
  face.last_top_mm = layer.z_mm;
  face.crowded = face.crowded || runs.runs.size() > most_runs_of_row || face.runs.size() > most_runs;
  if (face.crowded) {
    face.rows = {};
    face.runs = {};
    return;
  }
  face.rows.push_back({.layer = layer.number,
                       .first_line = layer.first_line,
                       .bottom_mm = layer.z_mm - layer.height_mm,
                       .top_mm = layer.z_mm,
                       .first_run = face.runs.size(),
                       .runs = runs.runs.size()});
  face.runs.insert(face.runs.end(), runs.runs.begin(), runs.runs.end());
}

}  // namespace

void WallFaces::add(const IndexedLayer& layer) {
  end_faces(layer.layer);
  if (layer.layer.spiral || !(layer.layer.height_mm > 0)) return;
  for (const Loop& loop : find_loops(layer)) {
    const Track& track = layer.tracks[loop.first_track];
    if (!track.boundary || loop.length_mm < least_loop_mm || is_apart(layer.roles[loop.first])) continue;
    if (!has_steps(layer, loop)) continue;
    Box box = track.box_mm;
    for (std::uint32_t i = 1; i < loop.tracks; ++i) box.add(layer.tracks[loop.first_track + i].box_mm);
    look_at(layer, loop, box);
  }
}

void WallFaces::finish() {
  for (const WallFace& face : faces_) on_face_(face);
  faces_.clear();
}

void WallFaces::end_faces(const Layer& layer) {
  for (auto face = faces_.begin(); face != faces_.end();) {
    const bool goes_on = layer.z_mm - layer.height_mm <= face->last_top_mm + longest_pause_mm &&
                         layer.z_mm >= face->last_top_mm - longest_pause_mm;
    if (!goes_on) on_face_(*face);
    face = goes_on ? std::next(face) : faces_.erase(face);
  }
}

void WallFaces::look_at(const IndexedLayer& layer, const Loop& loop, const Box& box_mm) {
  std::vector<WallPiece> pieces = wall_pieces(layer, loop);
  go_on(layer, pieces, box_mm);
  if (faces_.size() < most_faces) begin(layer, pieces);
}

void WallFaces::go_on(const IndexedLayer& layer, std::vector<WallPiece>& pieces, const Box& box_mm) {
  for (WallFace& face : faces_) {
    if (face.last_layer == layer.layer.number || !overlap(face.box_mm, box_mm, reach_mm)) continue;
    const FaceRuns runs = runs_along(face.line, layer, pieces);
    if (!carries_relief(runs)) continue;
    const Box box = box_of(face.line, runs);
    if (!lies_over(face.box_mm, box)) continue;
    face.box_mm.add(box);
    add_row(layer.layer, runs, face);
    leave_out(runs, pieces);
  }
}

void WallFaces::begin(const IndexedLayer& layer, std::vector<WallPiece>& pieces) {
  bool straight = false;
  for (const WallPiece& seed : stepping_pieces(pieces, most_tries)) {
    const auto line = straight_face(layer, pieces, seed);
    straight = (line && begin_at(layer, *line, pieces)) || straight;
    if (faces_.size() == most_faces) return;
  }
  if (straight) return;
  if (const auto line = round_face(layer, pieces)) begin_at(layer, *line, pieces);
}

bool WallFaces::begin_at(const IndexedLayer& layer, const FaceLine& line, std::vector<WallPiece>& pieces) {
  const FaceRuns runs = runs_along(line, layer, pieces);
  if (!carries_relief(runs)) return false;
  WallFace& face = faces_.emplace_back();
  face.line = line;
  face.box_mm = box_of(line, runs);
  add_row(layer.layer, runs, face);
  leave_out(runs, pieces);
  return true;
}

}  // namespace beadwise
