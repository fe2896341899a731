#include "model/lettering_index.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

namespace beadwise {

namespace {

constexpr double smallest_mm = 0.25;  // no bead is shorter and seen
constexpr int octave_count = 11;      // up to 512 mm

int octave_of(double size_mm) {
  return std::clamp(static_cast<int>(std::floor(std::log2(std::max(size_mm, smallest_mm) / smallest_mm))), 0,
                    octave_count - 1);
}

}  // namespace

GlyphIndex::GlyphIndex(const std::vector<GlyphShape>& shapes) : shapes_(shapes), octaves_(octave_count) {
  for (int octave = 0; octave < octave_count; ++octave)
    octaves_[static_cast<std::size_t>(octave)].cell_mm = smallest_mm * std::exp2(octave + 1);
  for (std::uint32_t i = 0; i < shapes.size(); ++i) {
    if (shapes[i].hull.empty()) continue;
    Octave& octave = octaves_[static_cast<std::size_t>(octave_of(shapes[i].size_mm))];
    octave.entries.push_back({static_cast<std::int32_t>(std::floor(shapes[i].middle.y / octave.cell_mm)),
                              static_cast<std::int32_t>(std::floor(shapes[i].middle.x / octave.cell_mm)), i});
  }
  for (Octave& octave : octaves_)
    std::sort(octave.entries.begin(), octave.entries.end(), [](const Entry& a, const Entry& b) {
      return std::tie(a.row, a.column, a.piece) < std::tie(b.row, b.column, b.piece);
    });
}

void GlyphIndex::near(PlanePoint place, double reach_mm, double least_mm, double most_mm,
                      std::vector<std::uint32_t>& into) const {
  into.clear();
  for (int k = octave_of(least_mm); k <= octave_of(most_mm); ++k) {
    const Octave& octave = octaves_[static_cast<std::size_t>(k)];
    if (octave.entries.empty()) continue;
    const auto cell = [&](double at_mm) { return static_cast<std::int32_t>(std::floor(at_mm / octave.cell_mm)); };
    for (std::int32_t row = cell(place.y - reach_mm); row <= cell(place.y + reach_mm); ++row) {
      const std::int32_t last = cell(place.x + reach_mm);
      auto entry = std::lower_bound(
          octave.entries.begin(), octave.entries.end(), std::pair(row, cell(place.x - reach_mm)),
          [](const Entry& a, const auto& at) { return std::tie(a.row, a.column) < std::tie(at.first, at.second); });
      for (; entry != octave.entries.end() && entry->row == row && entry->column <= last; ++entry) {
        const GlyphShape& shape = shapes_[entry->piece];
        if (shape.size_mm < least_mm || shape.size_mm > most_mm) continue;
        const double dx = shape.middle.x - place.x;
        const double dy = shape.middle.y - place.y;
        if (dx * dx + dy * dy <= reach_mm * reach_mm) into.push_back(entry->piece);
      }
    }
  }
  std::sort(into.begin(), into.end());
}

}  // namespace beadwise
