#include "model/bead_support.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include "model/track_samples.hpp"

namespace beadwise {

namespace {

constexpr double no_length_mm = 1e-9;
constexpr double hair_mm = 1e-3;
// The search for what lies nearest starts with so much: most of what is asked for is near.
constexpr double first_reach_mm = 1;
// What carried the last place mostly carries the next one, else the pieces beside it do.
constexpr std::array<std::ptrdiff_t, 4> next_pieces{0, 1, -1, 2};

PlanePoint between(PlanePoint a, PlanePoint b, double share) {
  return {a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)};
}

double length_of(const Footprint& piece) {
  const PlanePoint a = piece.from();
  const PlanePoint b = piece.to();
  return std::hypot(b.x - a.x, b.y - a.y);
}

PlanePoint middle_near(const Footprint& piece, PlanePoint place) {
  const PlanePoint a = piece.from();
  const PlanePoint b = piece.to();
  const double length_mm = length_of(piece);
  if (length_mm < no_length_mm) return a;
  const double along_mm = ((place.x - a.x) * (b.x - a.x) + (place.y - a.y) * (b.y - a.y)) / length_mm;
  return between(a, b, std::clamp(along_mm / length_mm, 0.0, 1.0));
}

}  // namespace

void BeadSupport::look_at(const LayerStack& stack) {
  stack_ = &stack;
  on_plate_ = stack.layer.layer.on_plate;
  carrier_ = nullptr;
  last_carried_ = false;
  // Heights are kept as float.
  lowest_top_mm_ =
      stack.below.empty() ? std::numeric_limits<double>::infinity() : stack.below.back()->layer.z_mm - hair_mm;
}

const Footprint* BeadSupport::known_carrier(PlanePoint place, PlanePoint towards) {
  if (carrier_ == nullptr) return nullptr;
  const std::vector<Footprint>& pieces = stack_->below.front()->index.footprints();
  const std::ptrdiff_t at = carrier_ - pieces.data();
  const Footprint* found = nullptr;
  std::ptrdiff_t found_step = 0;
  for (const std::ptrdiff_t one : next_pieces) {
    const std::ptrdiff_t step = one * stride_;
    if (at + step < 0 || at + step >= std::ssize(pieces)) continue;
    const Footprint* piece = carrier_ + step;
    if (!piece->holds(place)) continue;
    const bool both = piece->holds(towards);
    if (found != nullptr && !both) continue;
    found = piece;
    found_step = step;
    if (both) break;
  }
  if (found == nullptr) return nullptr;
  if (found_step != 0) stride_ = found_step > 0 ? 1 : -1;
  return carrier_ = found;
}

const Footprint* BeadSupport::carrier_of(PlanePoint place, PlanePoint towards) {
  if (const Footprint* known = known_carrier(place, towards)) return known;
  for (const IndexedLayer* below : stack_->below) {
    const Footprint* found = nullptr;
    double farthest = 0;
    below->index.near(place, place, 0, [&](const Footprint& piece) {
      if (farthest >= 1 || !piece.holds(place)) return;
      const auto part = part_within(place, towards, piece.from(), piece.to(), piece.half_mm());
      if (found != nullptr && (!part || part->to <= farthest)) return;
      found = &piece;
      farthest = part ? part->to : 0;
    });
    if (found != nullptr && below == stack_->below.front()) carrier_ = found;
    if (found != nullptr) return found;
  }
  return nullptr;
}

bool BeadSupport::carried_along(const Footprint& piece) {
  if (on_plate_) return true;
  const PlanePoint a = piece.from();
  const PlanePoint b = piece.to();
  const double dx = b.x - a.x;
  const double dy = b.y - a.y;
  const bool begins_carried = last_carried_ && last_end_.x == a.x && last_end_.y == a.y;
  if (dx * dx + dy * dy > coarse_station_mm * coarse_station_mm)
    last_carried_ = carried_in_leaps(a, b);
  else
    last_carried_ = (begins_carried || carrier_of(a, a) != nullptr) && carrier_of(b, b) != nullptr;
  last_end_ = b;
  return last_carried_;
}

bool BeadSupport::carried_in_leaps(PlanePoint from, PlanePoint to) {
  // From one that carries to the next, each from where the one before ends: what carries is convex.
  for (;;) {
    const Footprint* carrier = carrier_of(from, to);
    if (carrier == nullptr) return false;
    if (carrier->holds(to)) return true;
    const auto part = part_within(from, to, carrier->from(), carrier->to(), carrier->half_mm());
    const double left_mm = std::hypot(to.x - from.x, to.y - from.y);
    // A hair farther than it carries, so that no two hold each other up.
    const double passed_mm = (part ? part->to * left_mm : 0) + hair_mm;
    if (passed_mm >= left_mm) return true;
    from = between(from, to, passed_mm / left_mm);
  }
}

bool BeadSupport::seems_carried(PlanePoint place) const { return stack_->before.at(place) >= lowest_top_mm_; }

bool BeadSupport::mostly_carried_along(const Footprint& piece, double shortest_mm) const {
  if (on_plate_) return true;
  const PlanePoint a = piece.from();
  const PlanePoint b = piece.to();
  const double length_mm = length_of(piece);
  const auto carried_at = [&](double steps, double step) { return seems_carried(between(a, b, (step + 0.5) / steps)); };
  // Over what is solid, few looks do.
  const double far_steps = std::max(1.0, std::ceil(2 * length_mm / shortest_mm));
  double step = 0;
  while (step < far_steps && carried_at(far_steps, step)) ++step;
  if (step == far_steps) return true;
  const double steps = std::ceil(length_mm / TopSurface::Grid::cell_mm);
  const double step_mm = length_mm / std::max(1.0, steps);
  double bare_mm = 0;
  double most_mm = shortest_mm / 2;
  for (step = 0; step < steps; ++step) {
    if (!carried_at(steps, step)) {
      bare_mm += step_mm;
      continue;
    }
    if (bare_mm > most_mm) return false;
    bare_mm = 0;
    most_mm = shortest_mm;
  }
  return bare_mm < shortest_mm / 2 && bare_mm < length_mm;
}

bool BeadSupport::carries(PlanePoint place, double margin_mm) const {
  return on_plate_ || stack_->carried(place, margin_mm);
}

void BeadSupport::cover(PlanePoint a, PlanePoint b, double margin_mm) {
  covered_.clear();
  const double left = std::min(a.x, b.x);
  const double right = std::max(a.x, b.x);
  const double bottom = std::min(a.y, b.y);
  const double top = std::max(a.y, b.y);
  for (const IndexedLayer* below : stack_->below)
    below->index.near(a, b, std::max(0.0, margin_mm), [&](const Footprint& piece) {
      const PlanePoint p = piece.from();
      const PlanePoint q = piece.to();
      const double reach_mm = piece.half_mm() + margin_mm;
      if (reach_mm < 0 || std::min(p.x, q.x) - reach_mm > right || std::max(p.x, q.x) + reach_mm < left ||
          std::min(p.y, q.y) - reach_mm > top || std::max(p.y, q.y) + reach_mm < bottom)
        return;
      if (const auto part = part_within(a, b, p, q, reach_mm)) covered_.push_back(*part);
    });
  std::sort(covered_.begin(), covered_.end(), [](const Span& one, const Span& other) {
    return one.from != other.from ? one.from < other.from : one.to < other.to;
  });
}

double BeadSupport::share_across(PlanePoint place, PlanePoint across, double width_mm) {
  if (on_plate_) return 1;
  const double half_mm = width_mm / 2;
  cover({place.x - half_mm * across.x, place.y - half_mm * across.y},
        {place.x + half_mm * across.x, place.y + half_mm * across.y}, 0);
  double share = 0;
  double reached = 0;
  for (const Span& part : covered_) {
    share += std::max(0.0, part.to - std::max(part.from, reached));
    reached = std::max(reached, part.to);
  }
  return share;
}

void BeadSupport::add_stations(const Footprint& piece, std::vector<SupportStation>& into) {
  const PlanePoint a = piece.from();
  const PlanePoint b = piece.to();
  const double length_mm = length_of(piece);
  SupportStation station;
  station.across = {0, 1};
  if (length_mm > no_length_mm) station.across = {(a.y - b.y) / length_mm, (b.x - a.x) / length_mm};
  const double count = std::max(1.0, std::ceil(length_mm / station_mm));
  station.length_mm = length_mm / count;
  station.width_mm = 2 * piece.half_mm();
  for (double i = 0; i < count; ++i) {
    station.at = between(a, b, (i + 0.5) / count);
    station.share = share_across(station.at, station.across, station.width_mm);
    into.push_back(station);
  }
}

double BeadSupport::supported_share(std::uint32_t bead) {
  std::vector<SupportStation> stations;
  for (const Footprint& piece : footprints_of(stack_->layer.index, bead, 1)) add_stations(piece, stations);
  double length_mm = 0;
  double carried_mm = 0;
  double sum = 0;
  for (const SupportStation& station : stations) {
    length_mm += station.length_mm;
    carried_mm += station.share * station.length_mm;
    sum += station.share;
  }
  if (length_mm > no_length_mm) return carried_mm / length_mm;
  return stations.empty() ? 0 : sum / static_cast<double>(stations.size());
}

void BeadSupport::bare_parts(const Footprint& piece, double margin_mm, std::vector<Span>& into) {
  into.clear();
  if (on_plate_) return;
  cover(piece.from(), piece.to(), margin_mm);
  // Shorter than this share of the piece is rounding.
  constexpr double nothing = 1e-6;
  double reached = 0;
  for (const Span& part : covered_) {
    if (part.from > reached + nothing) into.push_back({reached, part.from});
    reached = std::max(reached, part.to);
  }
  if (reached < 1 - nothing) into.push_back({reached, 1});
}

BeadSupport::Nearest BeadSupport::nearest(PlanePoint place, double most_mm) const {
  if (on_plate_) return {0, place};
  for (double reach_mm = std::min(first_reach_mm, most_mm);; reach_mm = std::min(2 * reach_mm, most_mm)) {
    Nearest nearest{reach_mm, place};
    for (const IndexedLayer* below : stack_->below)
      below->index.near(place, place, reach_mm, [&](const Footprint& piece) {
        const double middle_mm = std::sqrt(squared_distance_mm2(place, piece.from(), piece.to()));
        const double distance_mm = std::max(0.0, middle_mm - piece.half_mm());
        if (distance_mm < nearest.distance_mm) nearest = {distance_mm, middle_near(piece, place)};
      });
    if (nearest.distance_mm < reach_mm || reach_mm >= most_mm) return nearest;
  }
}

double BeadSupport::distance_along_mm(PlanePoint place, PlanePoint direction, double most_mm) const {
  if (on_plate_) return 0;
  // The cell of the place itself may reach to what lies behind it.
  constexpr double step_mm = TopSurface::Grid::cell_mm;
  for (double mm = step_mm; mm < most_mm; mm += step_mm)
    if (seems_carried({place.x + mm * direction.x, place.y + mm * direction.y})) return mm;
  return most_mm;
}

bool BeadSupport::inside_below(PlanePoint place) const {
  return std::any_of(stack_->below.begin(), stack_->below.end(),
                     [&](const IndexedLayer* below) { return below->outline.encloses(place); });
}

}  // namespace beadwise
