// The narrowest stroke of letters against the medial axis by Boost.Polygon's Voronoi diagram, of the union of the laid
// footprints by GEOS: two general-purpose reference libraries, on outlines of free faces read by FreeType.

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <fstream>
#include <string>

#include "model/bead_roles.hpp"
#include "model/islands.hpp"
#include "model/strokes.hpp"
#include "model/tracks.hpp"
#include "support/glyph_outlines.hpp"
#include "support/letter_maker.hpp"
#include "support/medial_axis.hpp"

using namespace beadwise;

namespace {

constexpr double layer_mm = 0.2;

IndexedLayer layer_of(const std::vector<tests::LaidTrack>& tracks) {
  IndexedLayer layer;
  layer.layer.height_mm = layer_mm;
  layer.layer.z_mm = layer_mm;
  for (const tests::LaidTrack& track : tracks)
    for (const tests::LaidBead& laid : track.beads) {
      Bead bead;
      bead.from_mm = {laid.from.x, laid.from.y, layer_mm};
      bead.to_mm = {laid.to.x, laid.to.y, layer_mm};
      bead.path_mm = std::hypot(laid.to.x - laid.from.x, laid.to.y - laid.from.y);
      bead.width_mm = laid.width_mm;
      layer.layer.beads.push_back(bead);
    }
  constexpr double widest_mm = 2;
  constexpr double usual_mm = 0.45;
  layer.index.build(layer.layer, widest_mm, usual_mm);
  find_tracks(layer);
  find_islands(layer);
  infer_roles(layer);
  return layer;
}

double narrowest_found(const std::vector<tests::LaidTrack>& tracks) {
  const IndexedLayer layer = layer_of(tracks);
  StrokeMeter meter;
  meter.measure(layer, std::vector<bool>(layer.tracks.size(), true), {});
  double narrowest_mm = 1e9;
  for (const EdgeSample& sample : meter.samples()) narrowest_mm = std::min(narrowest_mm, sample.thickness_mm);
  return narrowest_mm;
}

struct Tally {
  int glyphs = 0;
  int agree = 0;
};

/// Every printable glyph of a face at one height; a row of the table for each, where one is asked for.
Tally compare(const tests::FaceFile& file, double cap_height_mm, std::ostream* table) {
  const tests::Face face(file);
  Tally tally;
  for (char character = '!'; character <= '~'; ++character) {
    const auto tracks = tests::lay(face.glyph(character, cap_height_mm).region);
    if (tracks.empty()) continue;
    const auto region = tests::without_pores(tests::footprints(tests::beads_of(tracks)));
    const auto expected = tests::narrowest_stroke(region);
    if (!expected) continue;
    const double found_mm = narrowest_found(tracks);
    const bool agrees = std::abs(found_mm - expected->width_mm) <= std::max(0.03, 0.1 * expected->width_mm);
    ++tally.glyphs;
    tally.agree += agrees ? 1 : 0;
    if (table != nullptr)
      *table << fmt::format("{}\t{}\t{}\t{:.3f}\t{:.3f}\t{}\n", file.name, cap_height_mm, character, expected->width_mm,
                            found_mm, agrees ? "" : "off");
  }
  return tally;
}

}  // namespace

TEST_CASE("the narrowest stroke of a letter is that of the medial axis of its beads, for 95 of 100 glyphs") {
  if (const std::string why = tests::why_no_outlines(); !why.empty()) {
    MESSAGE("skipped: ", why);
    return;
  }
  // BEADWISE_STROKE_TABLE names a file for the table in docs/performance.md.
  const char* path = std::getenv("BEADWISE_STROKE_TABLE");
  std::ofstream table;
  if (path != nullptr) table.open(path);
  Tally all;
  for (const tests::FaceFile& file : tests::known_faces())
    for (const double cap_height_mm : {3.0, 5.0, 8.0, 12.0, 20.0}) {
      const Tally tally = compare(file, cap_height_mm, path != nullptr ? &table : nullptr);
      MESSAGE(file.name, " at ", cap_height_mm, " mm: ", tally.agree, " of ", tally.glyphs);
      all.glyphs += tally.glyphs;
      all.agree += tally.agree;
    }
  CHECK(all.glyphs > 1000);
  CHECK(all.agree >= 0.95 * all.glyphs);
}
