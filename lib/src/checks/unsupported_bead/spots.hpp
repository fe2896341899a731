#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <vector>

#include "beadwise/bead.hpp"
#include "beadwise/finding.hpp"
#include "model/plane.hpp"

namespace beadwise::checks::unsupported_bead {

/// What hangs in the air, and how.
enum class Kind : std::uint8_t {
  island,       ///< a region that begins in the air
  long_bridge,  ///< longer than any should be
  bare_bridge,  ///< without the fan
  fast_bridge,  ///< laid too fast
  overhang,     ///< hangs out too far
  bridge,       ///< carried at both ends, of a length that prints
  lean,         ///< less than half of the width is carried
};
inline constexpr std::size_t kinds = 7;

/// One place of one layer.
struct Spot {
  Kind kind = Kind::lean;
  Place place;            ///< value: mm of span, of overhang or of bead
  Box box_mm;             ///< of what hangs
  double path_mm = 0;     ///< of it
  double area_mm2 = 0;    ///< of it, seen from above
  double allowed_mm = 0;  ///< how far this one may hang
  double share = 0;       ///< supported share of its width
  double fan_ratio = 0;
  double speed_mm_per_s = 0;
  Mark mark;

  void add_point(PlanePoint at, double z_mm) {
    box_mm.add(Point{at.x, at.y, z_mm});
    mark.points_mm.push_back({at.x, at.y});
  }

  /// Where it is, how bad it is and how wide its beads are is known now.
  void put_at(const Place& there, double width_mm) {
    place = there;
    mark.layer = there.layer;
    mark.value = there.value;
    mark.width_mm = width_mm;
  }
};

/// Spots that lie side by side or one over the other: one thing to act on.
struct Region {
  Spot worst;  ///< longest span, farthest overhang, fastest, longest of beads
  Places places;
  std::vector<Mark> marks;
  Box box_mm;
  double path_mm = 0;
  double area_mm2 = 0;  ///< of the layer that has most
  std::uint64_t regions = 1;

  void add(const Spot& spot) {
    if (spot.place.layer != layer_) layer_area_mm2_ = 0;
    layer_ = spot.place.layer;
    layer_area_mm2_ += spot.area_mm2;
    area_mm2 = std::max(area_mm2, layer_area_mm2_);
    if (places.empty() || spot.place.value > worst.place.value) worst = spot;
    places.add(spot.place);
    if (!spot.mark.points_mm.empty()) keep_mark(marks, spot.mark);
    box_mm.add(spot.box_mm);
    path_mm += spot.path_mm;
  }

  /// Both are one thing.
  void join(const Region& other) {
    if (other.worst.place.value > worst.place.value) worst = other.worst;
    places.add(other.places);
    for (const Mark& mark : other.marks) keep_mark(marks, mark);
    box_mm.add(other.box_mm);
    path_mm += other.path_mm;
    if (layer_ == other.layer_) layer_area_mm2_ += other.layer_area_mm2_;
    area_mm2 = std::max({area_mm2, other.area_mm2, layer_area_mm2_});
  }

  /// Told of together, though they lie apart.
  void fold_in(const Region& other) {
    const double most_mm2 = std::max(area_mm2, other.area_mm2);
    join(other);
    area_mm2 = most_mm2;
    regions += other.regions;
  }

 private:
  std::uint32_t layer_ = 0;
  double layer_area_mm2_ = 0;
};

/// Gathers spots into regions; holds only so many of each kind, the rest are one.
class Regions {
 public:
  void add(const Spot& spot) {
    std::vector<Region>& regions = by_kind_[static_cast<std::size_t>(spot.kind)];
    const auto near = [&](const Region& one) { return apart_mm(one.box_mm, spot.box_mm) <= together_mm; };
    const auto first = std::find_if(regions.begin(), regions.end(), near);
    if (first == regions.end()) {
      if (regions.size() >= most_kept) fold(regions);
      regions.emplace_back().add(spot);
      return;
    }
    first->add(spot);
    // What lay apart may be one now.
    for (auto other = std::find_if(first + 1, regions.end(), near); other != regions.end();
         other = std::find_if(other, regions.end(), near)) {
      first->join(*other);
      other = regions.erase(other);
    }
  }

  /// One fast strand is no bridge that anybody would change: the commands for it belong to a wall.
  void forgive_single_strands() {
    std::vector<Region>& fast = by_kind_[static_cast<std::size_t>(Kind::fast_bridge)];
    const auto single = [](const Region& region) { return region.places.count() == 1; };
    for (Region& region : fast) {
      if (!single(region)) continue;
      region.worst.kind = Kind::bridge;
      add(region.worst);
    }
    fast.erase(std::remove_if(fast.begin(), fast.end(), single), fast.end());
  }

  /// Of one kind, the worst first; the last of them stands for the rest.
  std::vector<Region> take(Kind kind) {
    std::vector<Region> regions = std::move(by_kind_[static_cast<std::size_t>(kind)]);
    std::stable_sort(regions.begin(), regions.end(), is_worse);
    while (regions.size() > most_findings(kind)) {
      regions[regions.size() - 2].fold_in(regions.back());
      regions.pop_back();
    }
    return regions;
  }

 private:
  // Closer than this, one support or one turn of the part mends both.
  static constexpr double together_mm = 3;
  static constexpr std::size_t most_kept = 64;

  // What is to be changed is named place by place, what is only worth knowing in few words.
  static std::size_t most_findings(Kind kind) {
    if (kind == Kind::lean) return 1;
    return kind == Kind::bridge ? 2 : 4;
  }

  static bool is_worse(const Region& a, const Region& b) { return a.worst.place.value > b.worst.place.value; }

  static double apart_mm(const Box& a, const Box& b) {
    return std::max({a.low.x - b.high.x, b.low.x - a.high.x, a.low.y - b.high.y, b.low.y - a.high.y, a.low.z - b.high.z,
                     b.low.z - a.high.z});
  }

  static void fold(std::vector<Region>& regions) {
    const auto least = std::max_element(regions.begin(), regions.end(), is_worse);
    Region region = std::move(*least);
    regions.erase(least);
    const auto next = std::max_element(regions.begin(), regions.end(), is_worse);
    next->fold_in(region);
  }

  std::array<std::vector<Region>, kinds> by_kind_;
};

}  // namespace beadwise::checks::unsupported_bead
