#include "support/glyph_outlines.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#ifdef BEADWISE_HAS_FREETYPE
#include <ft2build.h>
#include FT_FREETYPE_H
#include FT_BBOX_H
#include FT_OUTLINE_H
#endif

namespace beadwise::tests {

std::vector<FaceFile> known_faces() {
  const std::filesystem::path fonts = "/usr/share/fonts";
  return {{"DejaVu Sans", "fonts-dejavu-core", fonts / "truetype/dejavu/DejaVuSans.ttf"},
          {"EB Garamond 12", "fonts-ebgaramond", fonts / "opentype/ebgaramond/EBGaramond12-Regular.otf"},
          {"Old Standard", "fonts-oldstandard", fonts / "truetype/fonts-oldstandard/OldStandard-Regular.ttf"}};
}

#ifdef BEADWISE_HAS_FREETYPE

namespace {

/// Takes the outline of a glyph apart, in units of the font.
struct Pen {
  double tolerance = 1;
  std::vector<Outline> rings;

  PlanePoint at() const { return rings.back().back(); }

  static PlanePoint point(const FT_Vector* vector) {
    return {static_cast<double>(vector->x), static_cast<double>(vector->y)};
  }

  /// How far a curve bends: its second difference.
  static double bend(PlanePoint a, PlanePoint b, PlanePoint c) {
    return std::hypot(a.x - 2 * b.x + c.x, a.y - 2 * b.y + c.y);
  }

  static int move_to(const FT_Vector* to, void* pen) {
    static_cast<Pen*>(pen)->rings.push_back({point(to)});
    return 0;
  }
  static int line_to(const FT_Vector* to, void* pen) {
    static_cast<Pen*>(pen)->rings.back().push_back(point(to));
    return 0;
  }
  static int conic_to(const FT_Vector* control, const FT_Vector* to, void* pen) {
    static_cast<Pen*>(pen)->conic(point(control), point(to));
    return 0;
  }
  static int cubic_to(const FT_Vector* first, const FT_Vector* second, const FT_Vector* to, void* pen) {
    static_cast<Pen*>(pen)->cubic(point(first), point(second), point(to));
    return 0;
  }

  // A chord over a share s of a curve is off by at most s² / 8 of its second derivative, which is twice the second
  // difference of a conic's points, six times that of a cubic's.
  void conic(PlanePoint b, PlanePoint c) {
    const PlanePoint a = at();
    const int pieces = std::max(1, static_cast<int>(std::ceil(std::sqrt(2 * bend(a, b, c) / (8 * tolerance)))));
    for (int i = 1; i <= pieces; ++i) {
      const double t = static_cast<double>(i) / pieces;
      const double u = 1 - t;
      rings.back().push_back(
          {u * u * a.x + 2 * u * t * b.x + t * t * c.x, u * u * a.y + 2 * u * t * b.y + t * t * c.y});
    }
  }
  void cubic(PlanePoint b, PlanePoint c, PlanePoint d) {
    const PlanePoint a = at();
    const double most = 6 * std::max(bend(a, b, c), bend(b, c, d));
    const int pieces = std::max(1, static_cast<int>(std::ceil(std::sqrt(most / (8 * tolerance)))));
    for (int i = 1; i <= pieces; ++i) {
      const double t = static_cast<double>(i) / pieces;
      const double u = 1 - t;
      const auto mixed = [&](double pa, double pb, double pc, double pd) {
        return u * u * u * pa + 3 * u * u * t * pb + 3 * u * t * t * pc + t * t * t * pd;
      };
      rings.back().push_back({mixed(a.x, b.x, c.x, d.x), mixed(a.y, b.y, c.y, d.y)});
    }
  }
};

}  // namespace

struct Face::Open {
  FT_Library library = nullptr;
  FT_Face face = nullptr;
  double cap_height = 0;

  explicit Open(const FaceFile& file) {
    if (FT_Init_FreeType(&library) != 0 || FT_New_Face(library, file.path.c_str(), 0, &face) != 0)
      throw std::runtime_error("cannot read the face " + file.path.string());
    load('H');
    FT_BBox box;
    FT_Outline_Get_BBox(&face->glyph->outline, &box);
    cap_height = static_cast<double>(box.yMax - box.yMin);
  }
  Open(const Open&) = delete;
  Open& operator=(const Open&) = delete;
  ~Open() {
    FT_Done_Face(face);
    FT_Done_FreeType(library);
  }

  void load(char character) const {
    if (FT_Load_Char(face, static_cast<FT_ULong>(character), FT_LOAD_NO_SCALE | FT_LOAD_NO_BITMAP) != 0)
      throw std::runtime_error(std::string("the face has no ") + character);
  }
};

std::string why_no_outlines() {
  for (const FaceFile& file : known_faces())
    if (!std::filesystem::is_regular_file(file.path))
      return "no outlines of letters: the face " + file.name + " is missing (Debian's package " + file.package + ").";
  return {};
}

Face::Face(const FaceFile& file) : open_(std::make_unique<Open>(file)) {}

GlyphOutline Face::glyph(char character, double cap_height_mm) const {
  open_->load(character);
  const double mm_per_unit = cap_height_mm / open_->cap_height;
  Pen pen;
  pen.tolerance = flattening_error_mm / mm_per_unit;
  FT_Outline_Funcs calls{Pen::move_to, Pen::line_to, Pen::conic_to, Pen::cubic_to, 0, 0};
  if (FT_Outline_Decompose(&open_->face->glyph->outline, &calls, &pen) != 0)
    throw std::runtime_error(std::string("cannot take apart the outline of ") + character);
  for (Outline& ring : pen.rings)
    for (PlanePoint& corner : ring) corner = {corner.x * mm_per_unit, corner.y * mm_per_unit};
  return {bounded_by(std::move(pen.rings)), static_cast<double>(open_->face->glyph->advance.x) * mm_per_unit};
}

#else

struct Face::Open {};

std::string why_no_outlines() { return "no outlines of letters: the tests were built without FreeType."; }

Face::Face(const FaceFile& file) { throw std::runtime_error("cannot read the face " + file.path.string()); }

GlyphOutline Face::glyph(char, double) const { return {}; }

#endif

Face::~Face() = default;
Face::Face(Face&&) noexcept = default;
Face& Face::operator=(Face&&) noexcept = default;

}  // namespace beadwise::tests
