#include "model/fill_meter.hpp"

#include <algorithm>
#include <cmath>

#include "model/role_kinds.hpp"

namespace beadwise {

namespace {

// A slit is longer than this, so that one of its stations lies in it; gaps between lines are alike along them.
constexpr double coarse_step_mm = 6;
constexpr double fine_step_mm = 1;
// A slit that a station lies in goes on to one side at least; the triangles where strokes turn do not.
constexpr double probes_mm[] = {1.1, 1.9, 3.1};
// Ends meet a perimeter at an angle, and turns leave corners: so much of a stroke at each end is not looked at.
constexpr double end_widths = 1;
// As far as a gap of one width, and what is rounded.
constexpr double reach_widths = 1.55;
constexpr double widest_gap_widths = 1;
constexpr double most_of_wall = 0.5;

bool closes(BeadRole role) {
  return is_solid(role) || is_wall(role) || role == BeadRole::gap_fill || role == BeadRole::bridge;
}

}  // namespace

/// What comments call the top may be the layers below it, too.
bool FillMeter::needs_sight(std::uint32_t bead) const {
  return !layer_->layer.on_plate && layer_->layer.beads[bead].role != BeadRole::unknown;
}

/// Of the first layer, or a top as far as roles tell. Where comments say only that it is solid, it may be one.
bool FillMeter::is_seen_fill(std::uint32_t bead) const {
  const BeadRole role = layer_->roles[bead];
  if (role == BeadRole::top) return true;
  if (layer_->layer.on_plate) return is_solid(role);
  return !names_tops_ && layer_->layer.beads[bead].role == BeadRole::solid_infill;
}

bool FillMeter::find_fill() {
  bool any = false;
  for (std::uint32_t i = 0; i < layer_->roles.size(); ++i) {
    const BeadRole said = layer_->layer.beads[i].role;
    names_tops_ = names_tops_ || said == BeadRole::top || said == BeadRole::bottom;
    names_outlines_ = names_outlines_ || said == BeadRole::outer_perimeter;
    if (!is_solid(layer_->roles[i]) || !is_seen_fill(i)) continue;
    if (!any) regions_.assign(layer_->islands.size(), {});
    any = true;
    FillRegion& region = regions_[layer_->island_of[i]];
    if (!region.has_fill) region.first_bead = i;
    region.has_fill = true;
  }
  return any;
}

/// What lies beside an outline may be another part.
bool FillMeter::is_outline(const Track& track) const {
  const bool says_inner = names_outlines_ && layer_->layer.beads[track.first].role == BeadRole::perimeter;
  return track.boundary && !says_inner;
}

bool FillMeter::measure(const LayerStack& stack) {
  stack_ = &stack;
  layer_ = &stack.layer;
  slits_.clear();
  regions_.clear();
  if (layer_->layer.spiral || !find_fill()) return false;
  for (const Track& track : layer_->tracks) {
    if (!regions_[layer_->island_of[track.first]].has_fill) continue;
    const BeadRole role = layer_->roles[track.first];
    const bool wall = role == BeadRole::perimeter;
    if (wall ? is_outline(track) : !is_solid(role)) continue;
    const std::size_t before = slits_.size();
    each_stretch(footprints_of(layer_->index, track.first, track.count),
                 [&](const FootprintRun& run, double length_mm) {
                   const std::uint32_t bead = run.begin()[(run.end() - run.begin()) / 2].bead;
                   if (wall || is_seen_fill(bead)) look_along(run, length_mm, bead, wall);
                 });
    if (wall) drop_tapers(track, before);
  }
  return true;
}

void FillMeter::drop_tapers(const Track& track, std::size_t first_slit) {
  double between_mm = 0;
  for (std::size_t i = first_slit; i < slits_.size(); ++i)
    if (slits_[i].between_walls) between_mm += slits_[i].along_itself ? 2 * slits_[i].length_mm : slits_[i].length_mm;
  if (between_mm > most_of_wall * track.length_mm) return;
  const auto first = slits_.begin() + static_cast<std::ptrdiff_t>(first_slit);
  slits_.erase(std::remove_if(first, slits_.end(), [](const FillSlit& slit) { return slit.between_walls; }),
               slits_.end());
}

void FillMeter::look_along(const FootprintRun& run, double length_mm, std::uint32_t bead, bool wall) {
  // A strand thinner than the layer is high does not lie flat: there is no width to speak of.
  const Bead& laid = layer_->layer.beads[bead];
  if (!(laid.width_mm > static_cast<double>(laid.height_mm))) return;
  const double end_mm = end_widths * 2 * run.begin()->half_mm();
  const double inner_mm = length_mm - 2 * end_mm;
  if (inner_mm < end_mm || (wall && inner_mm < slit_mm_)) return;
  if (!wall && needs_sight(bead)) {
    bool hidden = false;
    each_sample(run, length_mm, 1, [&](const TrackSample& sample) {
      hidden = stack_->hidden(sample.place);
      return false;
    });
    if (hidden) return;
  }
  const double coarse_mm = inner_mm / std::ceil(inner_mm / coarse_step_mm);
  gather(run, end_mm, coarse_mm, inner_mm, wall);
  if (stations_.empty()) return;
  if (!wall) add_area(length_mm / static_cast<double>(stations_.size()));
  if (inner_mm < slit_mm_ || !may_have_slit(run, end_mm, coarse_mm, wall)) return;
  const double fine_mm = inner_mm / std::ceil(inner_mm / fine_step_mm);
  gather(run, end_mm, fine_mm, inner_mm, wall);
  find_slits(fine_mm, wall);
}

void FillMeter::gather(const FootprintRun& run, double begin_mm, double step_mm, double inner_mm, bool wall) {
  stations_.clear();
  const auto count = static_cast<std::size_t>(std::lround(inner_mm / step_mm));
  each_place(run, begin_mm + step_mm / 2, step_mm, [&](const TrackSample& sample) {
    stations_.push_back({.sample = sample, .sides = {side_of(sample, 1, wall), side_of(sample, -1, wall)}});
    return stations_.size() < count;
  });
}

bool FillMeter::may_have_slit(const FootprintRun& run, double begin_mm, double step_mm, bool wall) {
  for (std::size_t i = 0; i < stations_.size(); ++i) {
    const double at_mm = begin_mm + (static_cast<double>(i) + 0.5) * step_mm;
    for (int side = 0; side < 2; ++side)
      if (is_slit(stations_[i], side, wall) &&
          (goes_on(run, at_mm, 1, side, wall) || goes_on(run, at_mm, -1, side, wall)))
        return true;
  }
  return false;
}

bool FillMeter::goes_on(const FootprintRun& run, double at_mm, double way, int side, bool wall) {
  for (const double probe_mm : probes_mm) {
    const double place_mm = at_mm + way * probe_mm;
    if (place_mm < 0) return false;
    bool open = false;
    each_place(run, place_mm, 1, [&](const TrackSample& sample) {
      Station station{.sample = sample};
      station.sides[side] = side_of(sample, side == 0 ? 1 : -1, wall);
      open = is_slit(station, side, wall);
      return false;
    });
    if (!open) return false;
  }
  return true;
}

FillMeter::Side FillMeter::side_of(const TrackSample& sample, double sign, bool wall) {
  Side side{.gap = gap_beside(layer_->index, sample, sign, reach_widths * sample.width_mm)};
  if (!side.gap.found) return side;
  const BeadRole role = layer_->roles[side.gap.bead];
  side.is_wall = is_wall(role);
  side.is_other = role == BeadRole::perimeter || (is_solid(role) && is_seen_fill(side.gap.bead));
  side.counts = closes(role) && side.gap.gap_mm < widest_gap_widths * sample.width_mm;
  // Beside perimeters only what one sees is a slit; beside fill that one sees, all of it is.
  if (wall && side.counts && !layer_->layer.on_plate && side.gap.gap_mm > slit_widths_ * sample.width_mm) {
    const double middle_mm = side.gap.near_mm - side.gap.gap_mm / 2;
    if (stack_->hidden(sample.aside(sign * middle_mm))) side.counts = false;
  }
  return side;
}

void FillMeter::add_area(double step_mm) {
  FillRegion& region = regions_[layer_->island_of[stations_.front().sample.bead]];
  for (const Station& station : stations_) {
    const Bead& bead = layer_->layer.beads[station.sample.bead];
    region.length_mm += step_mm;
    region.width_mm2 += step_mm * station.sample.width_mm;
    region.height_mm2 += step_mm * static_cast<double>(bead.height_mm);
    region.laid_mm3 += step_mm * bead.area_mm2;
    for (const Side& side : station.sides) add_side(side, step_mm, station.sample.width_mm / 2, region);
  }
}

void FillMeter::add_side(const Side& side, double step_mm, double half_mm, FillRegion& region) const {
  if (!side.counts) {
    region.area_mm2 += step_mm * half_mm;
    return;
  }
  const double near_mm = side.gap.near_mm;
  if (!side.is_wall) {
    region.area_mm2 += step_mm * (half_mm + near_mm) / 2;
    region.between_mm2 += step_mm * side.gap.gap_mm / 2;
    region.pitch_mm2 += step_mm * (near_mm + half_mm);
    region.pitch_mm += step_mm;
    return;
  }
  region.area_mm2 += step_mm * near_mm;
  region.rim_mm2 += step_mm * side.gap.gap_mm;
  if (!(side.gap.gap_mm > 0)) return;
  region.rim_gap_mm2 += step_mm * side.gap.gap_mm;
  region.rim_gap_mm += step_mm;
}

bool FillMeter::is_slit(const Station& station, int side, bool wall) const {
  const Side& looked = station.sides[side];
  if (!looked.counts || looked.gap.gap_mm <= slit_widths_ * station.sample.width_mm) return false;
  // Of two beads that look at it, the later one tells of it.
  if (looked.is_other && looked.gap.bead > station.sample.bead) return false;
  return !wall || looked.is_wall || is_solid(layer_->roles[looked.gap.bead]);
}

void FillMeter::find_slits(double step_mm, bool wall) {
  for (int side = 0; side < 2; ++side) {
    std::size_t first = 0;
    for (std::size_t i = 0; i <= stations_.size(); ++i) {
      if (i < stations_.size() && is_slit(stations_[i], side, wall)) continue;
      if (i > first) end_slit(first, i, side, step_mm, wall);
      first = i + 1;
    }
  }
}

void FillMeter::end_slit(std::size_t first, std::size_t last, int side, double step_mm, bool wall) {
  const double length_mm = static_cast<double>(last - first) * step_mm;
  if (length_mm <= slit_mm_) return;
  const Station& middle = stations_[(first + last) / 2];
  FillSlit slit;
  slit.bead = middle.sample.bead;
  slit.length_mm = length_mm;
  slit.width_mm = middle.sample.width_mm;
  bool wall_beside = false;
  for (std::size_t i = first; i < last; ++i) {
    slit.gap_mm += stations_[i].sides[side].gap.gap_mm;
    wall_beside = wall_beside || stations_[i].sides[side].is_wall;
  }
  slit.along_wall = wall || wall_beside;
  slit.between_walls = wall && wall_beside;
  slit.along_itself = layer_->track_of[middle.sides[side].gap.bead] == layer_->track_of[slit.bead];
  slit.gap_mm /= static_cast<double>(last - first);
  const SideGap& gap = middle.sides[side].gap;
  slit.at = middle.sample.aside((side == 0 ? 1 : -1) * (gap.near_mm - gap.gap_mm / 2));
  slits_.push_back(slit);
}

}  // namespace beadwise
