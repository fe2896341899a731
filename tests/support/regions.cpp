#include "support/regions.hpp"

#include <geos_c.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <stdexcept>
#include <string>

namespace beadwise::tests {

namespace {

// A round of 0.5 mm is 0.0006 mm off: 0.5 (1 − cos(π/4/16)).
constexpr int pieces_per_quarter = 8;
// Corners of the rounds that say nothing; together with them still below round_error_mm.
constexpr double needless_corner_mm = 0.0005;
constexpr double miter_limit = 1;

/// One use of GEOS; what it makes is freed with it.
class Geos {
 public:
  using Shape = std::shared_ptr<GEOSGeometry>;

  Geos() : context_(GEOS_init_r(), GEOS_finish_r) {
    GEOSContext_setErrorMessageHandler_r(context(), keep_message, &message_);
  }
  Geos(const Geos&) = delete;
  Geos& operator=(const Geos&) = delete;

  Shape shape_of(const Region& region) const {
    std::vector<GEOSGeometry*> areas;
    for (const Area& area : region) {
      std::vector<GEOSGeometry*> holes;
      for (const Outline& hole : area.holes) holes.push_back(ring_of(hole));
      areas.push_back(
          GEOSGeom_createPolygon_r(context(), ring_of(area.outer), holes.data(), static_cast<unsigned>(holes.size())));
    }
    return collection(GEOS_MULTIPOLYGON, areas);
  }

  Shape line_of(const std::vector<PlanePoint>& points) const {
    return own(GEOSGeom_createLineString_r(context(), points_of(points)));
  }

  /// Part by part: for several parts at a time GEOS 3.11 gives up on some ("unable to assign hole to a shell").
  Shape buffer(const Shape& shape, double by_mm) const {
    const int parts = GEOSGetNumGeometries_r(context(), shape.get());
    std::vector<Shape> grown;
    for (int i = 0; i < parts; ++i)
      grown.push_back(
          own(GEOSBufferWithStyle_r(context(), GEOSGetGeometryN_r(context(), shape.get(), i), by_mm, pieces_per_quarter,
                                    GEOSBUF_CAP_ROUND, GEOSBUF_JOIN_ROUND, miter_limit)));
    return grown.size() == 1 ? grown.front() : all_of(grown);
  }

  Shape simple(const Shape& shape) const {
    return own(GEOSTopologyPreserveSimplify_r(context(), shape.get(), needless_corner_mm));
  }

  Shape all_of(const std::vector<Shape>& shapes) const {
    std::vector<GEOSGeometry*> copies;
    for (const Shape& shape : shapes) copies.push_back(GEOSGeom_clone_r(context(), shape.get()));
    const Shape all = collection(GEOS_GEOMETRYCOLLECTION, copies);
    return own(GEOSUnaryUnion_r(context(), all.get()));
  }

  Shape difference(const Shape& a, const Shape& b) const { return own(GEOSDifference_r(context(), a.get(), b.get())); }
  Shape intersection(const Shape& a, const Shape& b) const {
    return own(GEOSIntersection_r(context(), a.get(), b.get()));
  }

  Region region_of(const Shape& shape) const {
    const Shape on_grid = own(GEOSGeom_setPrecision_r(context(), shape.get(), region_grid_mm, 0));
    Region region;
    add(on_grid.get(), region);
    return region;
  }

 private:
  static void keep_message(const char* message, void* kept) { *static_cast<std::string*>(kept) = message; }

  GEOSContextHandle_t context() const { return context_.get(); }

  Shape own(GEOSGeometry* made) const {
    if (made == nullptr) throw std::runtime_error("GEOS: " + message_);
    return {made, [context = context_](GEOSGeometry* shape) { GEOSGeom_destroy_r(context.get(), shape); }};
  }

  Shape collection(int type, std::vector<GEOSGeometry*>& parts) const {
    return own(GEOSGeom_createCollection_r(context(), type, parts.data(), static_cast<unsigned>(parts.size())));
  }

  GEOSCoordSequence* points_of(const std::vector<PlanePoint>& points) const {
    GEOSCoordSequence* sequence = GEOSCoordSeq_create_r(context(), static_cast<unsigned>(points.size()), 2);
    for (unsigned i = 0; i < points.size(); ++i) GEOSCoordSeq_setXY_r(context(), sequence, i, points[i].x, points[i].y);
    return sequence;
  }

  GEOSGeometry* ring_of(const Outline& outline) const {
    Outline ring = outline;
    ring.push_back(outline.front());
    return GEOSGeom_createLinearRing_r(context(), points_of(ring));
  }

  Outline outline_of(const GEOSGeometry* ring) const {
    const GEOSCoordSequence* sequence = GEOSGeom_getCoordSeq_r(context(), ring);
    unsigned count = 0;
    GEOSCoordSeq_getSize_r(context(), sequence, &count);
    Outline outline(count - 1);
    for (unsigned i = 0; i + 1 < count; ++i) GEOSCoordSeq_getXY_r(context(), sequence, i, &outline[i].x, &outline[i].y);
    return outline;
  }

  void add(const GEOSGeometry* shape, Region& region) const {
    if (GEOSisEmpty_r(context(), shape) != 0) return;
    if (GEOSGeomTypeId_r(context(), shape) != GEOS_POLYGON) {
      if (GEOSGeomTypeId_r(context(), shape) < GEOS_MULTIPOLYGON) return;
      for (int i = 0; i < GEOSGetNumGeometries_r(context(), shape); ++i)
        add(GEOSGetGeometryN_r(context(), shape, i), region);
      return;
    }
    Area area;
    area.outer = outline_of(GEOSGetExteriorRing_r(context(), shape));
    for (int i = 0; i < GEOSGetNumInteriorRings_r(context(), shape); ++i)
      area.holes.push_back(outline_of(GEOSGetInteriorRingN_r(context(), shape, i)));
    region.push_back(std::move(area));
  }

  std::shared_ptr<GEOSContextHandle_HS> context_;
  std::string message_ = "a shape could not be worked out";
};

bool goes_on(const LaidBead& bead, const LaidBead& next) {
  return std::fabs(bead.width_mm - next.width_mm) < region_grid_mm && bead.to.x == next.from.x &&
         bead.to.y == next.from.y;
}

}  // namespace

Region grown(const Region& region, double by_mm) {
  const Geos geos;
  return geos.region_of(geos.simple(geos.buffer(geos.shape_of(region), by_mm)));
}

Region inset(const Region& region, double by_mm) { return grown(region, -by_mm); }

Region opened(const Region& region, double radius_mm) {
  const Geos geos;
  return geos.region_of(geos.simple(geos.buffer(geos.buffer(geos.shape_of(region), -radius_mm), radius_mm)));
}

Region closed(const Region& region, double radius_mm) {
  const Geos geos;
  return geos.region_of(geos.simple(geos.buffer(geos.buffer(geos.shape_of(region), radius_mm), -radius_mm)));
}

Region united(const std::vector<Region>& regions) {
  const Geos geos;
  std::vector<Geos::Shape> shapes;
  for (const Region& region : regions) shapes.push_back(geos.shape_of(region));
  return geos.region_of(geos.all_of(shapes));
}

Region without(const Region& region, const Region& taken) {
  const Geos geos;
  return geos.region_of(geos.difference(geos.shape_of(region), geos.shape_of(taken)));
}

Region common(const Region& one, const Region& other) {
  const Geos geos;
  return geos.region_of(geos.intersection(geos.shape_of(one), geos.shape_of(other)));
}

Region footprints(const std::vector<LaidBead>& beads) {
  const Geos geos;
  std::vector<Geos::Shape> shapes;
  // Beads of one width that follow one another are one line: that is much quicker.
  for (std::size_t first = 0; first < beads.size();) {
    std::vector<PlanePoint> points{beads[first].from, beads[first].to};
    std::size_t next = first + 1;
    for (; next < beads.size() && goes_on(beads[next - 1], beads[next]); ++next) points.push_back(beads[next].to);
    shapes.push_back(geos.buffer(geos.line_of(points), beads[first].width_mm / 2));
    first = next;
  }
  return geos.region_of(geos.simple(geos.all_of(shapes)));
}

Region without_pores(Region region, double radius_mm) {
  for (Area& area : region)
    std::erase_if(area.holes, [&](const Outline& hole) { return inset({{hole, {}}}, radius_mm).empty(); });
  return region;
}

Region bounded_by(std::vector<Outline> rings) {
  std::sort(rings.begin(), rings.end(), [](const Outline& a, const Outline& b) {
    return std::fabs(signed_area_mm2(a)) > std::fabs(signed_area_mm2(b));
  });
  Region region;
  for (const Outline& ring : rings) {
    const bool adds = std::signbit(signed_area_mm2(ring)) == std::signbit(signed_area_mm2(rings.front()));
    const Region one{{ring, {}}};
    region = adds ? united({region, one}) : without(region, one);
  }
  return region;
}

std::vector<double> crossings(const Region& region, double y) {
  std::vector<double> crossed;
  const auto cross = [&](const Outline& ring) {
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const PlanePoint a = ring[i];
      const PlanePoint b = ring[(i + 1) % ring.size()];
      if ((a.y > y) != (b.y > y)) crossed.push_back(a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x));
    }
  };
  for (const Area& area : region) {
    cross(area.outer);
    for (const Outline& hole : area.holes) cross(hole);
  }
  std::sort(crossed.begin(), crossed.end());
  return crossed;
}

Region rectangular(double width_mm, double depth_mm, PlanePoint low) {
  return united({{{rectangle(width_mm, depth_mm, low), {}}}});
}

double signed_area_mm2(const Outline& outline) {
  double twice = 0;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const PlanePoint a = outline[i];
    const PlanePoint b = outline[(i + 1) % outline.size()];
    twice += a.x * b.y - b.x * a.y;
  }
  return twice / 2;
}

double area_mm2(const Region& region) {
  double area = 0;
  for (const Area& one : region) {
    area += std::fabs(signed_area_mm2(one.outer));
    for (const Outline& hole : one.holes) area -= std::fabs(signed_area_mm2(hole));
  }
  return area;
}

}  // namespace beadwise::tests
