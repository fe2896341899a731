#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "support/print.hpp"

namespace beadwise::tests {

// The Hershey Fonts were originally created by Dr. A. V. Hershey while working at the U. S. National Bureau of
// Standards. The format of the font data was originally created by James Hurt, Cognition, Inc., 900 Technology Park
// Drive, Billerica, MA 01821. The data is no part of the repository: it is read where Debian's package
// hershey-fonts-data puts it.

/// A glyph of strokes, in the units of the data: whole numbers, y upward, the base line at 0.
struct StrokeGlyph {
  int left = 0;  ///< where it begins and ends on the base line
  int right = 0;
  std::vector<std::vector<PlanePoint>> strokes;  ///< each laid without lifting the pen

  double path_length() const;
  std::size_t pen_ups() const { return strokes.empty() ? 0 : strokes.size() - 1; }
};

/// One face, by printable character.
using StrokeFace = std::map<char, StrokeGlyph>;

/// From the base line to the top of the capitals, in units of the data.
constexpr double stroke_cap_height = 21;

/// Where the data lies; BEADWISE_HERSHEY names another folder.
std::filesystem::path stroke_fonts_folder();

/// Of a face such as "rowmans": its glyphs from blank to tilde; none where the file is not there.
StrokeFace stroke_face(const std::string& name);

}  // namespace beadwise::tests
