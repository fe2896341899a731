#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "support/regions.hpp"

namespace beadwise::tests {

/// A free face that Debian ships.
struct FaceFile {
  std::string name;
  std::string package;
  std::filesystem::path path;
};

/// Three faces from even strokes to hairlines: a sans serif, an old style, a modern one of high contrast.
std::vector<FaceFile> known_faces();

/// What keeps the outlines of `known_faces` from being read, in one sentence; empty where all is there.
std::string why_no_outlines();

/// The outline of a glyph, its base line at y = 0.
struct GlyphOutline {
  Region region;
  double advance_mm = 0;
};

/// Outlines of one face by FreeType; curves become polylines at most `flattening_error_mm` off.
class Face {
 public:
  explicit Face(const FaceFile& file);
  ~Face();
  Face(Face&&) noexcept;
  Face& operator=(Face&&) noexcept;

  GlyphOutline glyph(char character, double cap_height_mm) const;

 private:
  struct Open;
  std::unique_ptr<Open> open_;
};

constexpr double flattening_error_mm = 0.002;

}  // namespace beadwise::tests
