#include "model/glyph_pieces.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "model/role_kinds.hpp"

namespace beadwise {

namespace {

constexpr double largest_glyph_mm = 6 * tallest_glyph_mm;
// Smaller ones are dots of infill, seams and blobs; the smallest lettering that anyone prints is 2 mm high.
constexpr double smallest_glyph_mm = 0.5;
constexpr std::size_t fewest_pieces = 3;

bool is_stroke_of_fill(BeadRole role) { return is_fill(role) || role == BeadRole::bridge || role == BeadRole::ironing; }

bool has_glyph_size(const Box& box) {
  const double size_mm = std::max(box.high.x - box.low.x, box.high.y - box.low.y);
  return size_mm >= smallest_glyph_mm && size_mm <= largest_glyph_mm;
}

/// What is known of an island from its tracks.
struct Outline {
  double edge_mm = 0;
  double open_mm = 0;  ///< of strokes
  std::uint32_t loops = 0;
  std::uint32_t boundaries = 0;
  std::uint32_t strokes = 0;
  std::uint32_t fills = 0;
  std::uint32_t outer = 0;  ///< the boundary that encloses most
  double outer_mm2 = 0;
};

std::vector<Outline> outlines_of(const IndexedLayer& layer) {
  std::vector<Outline> outlines(layer.islands.size());
  for (std::uint32_t i = 0; i < layer.tracks.size(); ++i) {
    const Track& track = layer.tracks[i];
    Outline& outline = outlines[layer.island_of[track.first]];
    if (!track.closed) {
      const bool fill = is_stroke_of_fill(layer.roles[track.first]);
      ++(fill ? outline.fills : outline.strokes);
      if (!fill) outline.open_mm += track.length_mm;
      continue;
    }
    ++outline.loops;
    if (!track.boundary) continue;
    ++outline.boundaries;
    outline.edge_mm += track.length_mm;
    if (std::abs(track.area_mm2) <= outline.outer_mm2) continue;
    outline.outer_mm2 = std::abs(track.area_mm2);
    outline.outer = i;
  }
  for (Outline& outline : outlines) {
    // One loop with nothing in it has two edges: the ring of an O.
    if (outline.loops == 1 && outline.fills == 0) outline.edge_mm *= 2;
    // Strokes of a glyph that has none but them are its body, else gaps between outlines.
    if (outline.loops == 0) outline.edge_mm += 2 * outline.open_mm;
  }
  return outlines;
}

std::optional<GlyphPiece> island_piece(const IndexedLayer& layer, std::uint32_t at, const Outline& outline) {
  const Island& island = layer.islands[at];
  if (!has_glyph_size(island.box_mm) || is_apart(layer.roles[island.first])) return std::nullopt;
  if (!(outline.edge_mm > 0) || !(layer.layer.height_mm > 0)) return std::nullopt;
  const double area_mm2 = island.laid_mm3 / layer.layer.height_mm;
  GlyphPiece piece;
  piece.width_mm = 2 * area_mm2 / outline.edge_mm;
  piece.stroke_mm = outline.edge_mm / 2;
  piece.margin_mm = layer.layer.beads[island.first].width_mm / 2;
  return piece;
}

std::optional<GlyphPiece> hole_piece(const IndexedLayer& layer, const Track& track) {
  const double half_mm = layer.layer.beads[track.first].width_mm / 2;
  if (!has_glyph_size(track.box_mm) || is_apart(layer.roles[track.first]) || !(half_mm > 0)) return std::nullopt;
  // The edge of the hole lies half a bead inside the middle line of the loop around it.
  const double edge_mm = track.length_mm - 2 * std::acos(-1.0) * half_mm;
  const double area_mm2 = std::abs(track.area_mm2) - track.length_mm * half_mm;
  if (edge_mm <= 0 || area_mm2 <= 0) return std::nullopt;
  GlyphPiece piece;
  piece.hole = true;
  piece.width_mm = 2 * area_mm2 / edge_mm;
  piece.stroke_mm = edge_mm / 2;
  piece.margin_mm = -half_mm;
  const auto by_bead = [](const Footprint& footprint, std::uint32_t bead) { return footprint.bead < bead; };
  const std::vector<Footprint>& footprints = layer.index.footprints();
  for (auto one = std::lower_bound(footprints.begin(), footprints.end(), track.first, by_bead);
       one != footprints.end() && one->bead < track.first + track.count; ++one)
    piece.lines.push_back({one->from(), one->to()});
  return piece;
}

}  // namespace

GlyphPieces glyph_pieces(const IndexedLayer& layer) {
  GlyphPieces found;
  const std::vector<Outline> outlines = outlines_of(layer);
  constexpr std::uint32_t none = 0xffffffff;
  std::vector<std::uint32_t> piece_of(layer.islands.size(), none);
  for (std::uint32_t i = 0; i < layer.islands.size(); ++i) {
    std::optional<GlyphPiece> piece = island_piece(layer, i, outlines[i]);
    if (!piece) continue;
    piece_of[i] = static_cast<std::uint32_t>(found.pieces.size());
    found.pieces.push_back(std::move(*piece));
    found.origins.push_back({.island = i, .track = outlines[i].outer});
  }
  if (found.pieces.size() >= fewest_pieces) {
    for (const Footprint& footprint : layer.index.footprints()) {
      const std::uint32_t island = layer.island_of[footprint.bead];
      const std::uint32_t piece = piece_of[island];
      if (piece == none || is_stroke_of_fill(layer.roles[footprint.bead])) continue;
      // Where there are outlines, they alone are the shape.
      const Track& track = layer.tracks[layer.track_of[footprint.bead]];
      if (outlines[island].boundaries > 0 && !(track.closed && track.boundary)) continue;
      found.pieces[piece].lines.push_back({footprint.from(), footprint.to()});
    }
  } else {
    found = {};
  }
  const std::size_t islands = found.pieces.size();
  for (std::uint32_t i = 0; i < layer.tracks.size(); ++i) {
    const Track& track = layer.tracks[i];
    const std::uint32_t island = layer.island_of[track.first];
    const Outline& outline = outlines[island];
    if (!track.closed || !track.boundary || outline.boundaries <= fewest_pieces || i == outline.outer) continue;
    std::optional<GlyphPiece> piece = hole_piece(layer, track);
    if (!piece) continue;
    found.pieces.push_back(std::move(*piece));
    found.origins.push_back({.island = island, .track = i});
  }
  if (found.pieces.size() < islands + fewest_pieces) {
    found.pieces.resize(islands);
    found.origins.resize(islands);
  }
  return found;
}

}  // namespace beadwise
