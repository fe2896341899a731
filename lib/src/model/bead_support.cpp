#include "model/bead_support.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "model/bead_roles.hpp"
#include "model/track_samples.hpp"

namespace beadwise {

namespace {

constexpr double no_length_mm = 1e-9;
constexpr double hair_mm = 1e-3;
// A float of a place on a large plate is off by this share of a bead's width at most.
constexpr float rounded_up = 1.001F;
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

bool lies_in(const Footprint& piece, PlanePoint place) {
  // Most pieces that are asked lie beside: their boxes tell.
  const auto x_mm = static_cast<float>(place.x);
  const auto y_mm = static_cast<float>(place.y);
  const float reach_mm = piece.half_width_mm * rounded_up;
  if (x_mm < std::min(piece.from_x_mm, piece.to_x_mm) - reach_mm) return false;
  if (x_mm > std::max(piece.from_x_mm, piece.to_x_mm) + reach_mm) return false;
  if (y_mm < std::min(piece.from_y_mm, piece.to_y_mm) - reach_mm) return false;
  if (y_mm > std::max(piece.from_y_mm, piece.to_y_mm) + reach_mm) return false;
  return squared_distance_mm2(place, piece.from(), piece.to()) <= piece.half_mm() * piece.half_mm();
}

}  // namespace

void BeadSupport::look_at(const LayerStack& stack) {
  stack_ = &stack;
  on_plate_ = stack.layer.layer.on_plate;
  carrier_ = nullptr;
}

const Footprint* BeadSupport::known_carrier(PlanePoint place, PlanePoint towards) {
  if (carrier_ == nullptr) return nullptr;
  const std::vector<Footprint>& pieces = stack_->below.front()->index.footprints();
  const std::ptrdiff_t at = carrier_ - pieces.data();
  const Footprint* found = nullptr;
  for (const std::ptrdiff_t step : next_pieces) {
    if (at + step < 0 || at + step >= std::ssize(pieces)) continue;
    const Footprint* piece = carrier_ + step;
    if (!lies_in(*piece, place)) continue;
    if (found == nullptr) found = piece;
    if (!lies_in(*piece, towards)) continue;
    found = piece;
    break;
  }
  if (found != nullptr) carrier_ = found;
  return found;
}

const Footprint* BeadSupport::carrier_of(PlanePoint place, PlanePoint towards) {
  if (const Footprint* known = known_carrier(place, towards)) return known;
  for (const IndexedLayer* below : stack_->below) {
    const Footprint* found = nullptr;
    double farthest = 0;
    below->index.near(place, place, 0, [&](const Footprint& piece) {
      if (farthest >= 1 || !lies_in(piece, place)) return;
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
  PlanePoint reached = a;
  // From one that carries to the next, each from where the one before ends: what carries is convex.
  for (;;) {
    const Footprint* carrier = carrier_of(reached, b);
    if (carrier == nullptr) return false;
    if (lies_in(*carrier, b)) return true;
    const auto part = part_within(reached, b, carrier->from(), carrier->to(), carrier->half_mm());
    const double left_mm = std::hypot(b.x - reached.x, b.y - reached.y);
    // A hair farther than it carries, so that no two hold each other up.
    const double passed_mm = (part ? part->to * left_mm : 0) + hair_mm;
    if (passed_mm >= left_mm) return true;
    reached = between(reached, b, passed_mm / left_mm);
  }
}

bool BeadSupport::seems_carried(PlanePoint place, double margin_mm) const {
  if (stack_->below.empty()) return false;
  const double lowest_mm = stack_->below.back()->layer.z_mm - hair_mm;
  const auto is_high = [&](double x, double y) { return stack_->before.at({x, y}) >= lowest_mm; };
  if (is_high(place.x, place.y)) return true;
  // Cells are known to their middles.
  const double aside_mm = margin_mm - TopSurface::Grid::cell_mm;
  if (aside_mm < TopSurface::Grid::cell_mm) return false;
  return is_high(place.x - aside_mm, place.y) || is_high(place.x + aside_mm, place.y) ||
         is_high(place.x, place.y - aside_mm) || is_high(place.x, place.y + aside_mm);
}

bool BeadSupport::nearly_carried_along(const Footprint& piece, double step_mm, double margin_mm) {
  if (on_plate_) return true;
  const double steps = std::max(1.0, std::ceil(length_of(piece) / step_mm));
  for (double step = 0; step < steps; ++step) {
    const PlanePoint place = between(piece.from(), piece.to(), (step + 0.5) / steps);
    if (!seems_carried(place, margin_mm) && !stack_->carried(place, margin_mm)) return false;
  }
  return true;
}

bool BeadSupport::carries(PlanePoint place, double margin_mm) { return on_plate_ || stack_->carried(place, margin_mm); }

void BeadSupport::cover(PlanePoint a, PlanePoint b, double margin_mm) {
  covered_.clear();
  for (const IndexedLayer* below : stack_->below) {
    below->index.cover(a, b, margin_mm, by_one_);
    covered_.insert(covered_.end(), by_one_.begin(), by_one_.end());
  }
  const auto starts_before = [](const Covered& one, const Covered& other) { return one.span.from < other.span.from; };
  if (stack_->below.size() > 1) std::stable_sort(covered_.begin(), covered_.end(), starts_before);
}

double BeadSupport::share_across(PlanePoint place, PlanePoint across, double width_mm) {
  if (on_plate_) return 1;
  const double half_mm = width_mm / 2;
  cover({place.x - half_mm * across.x, place.y - half_mm * across.y},
        {place.x + half_mm * across.x, place.y + half_mm * across.y}, 0);
  return covered_share(covered_);
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
  for (const Covered& part : covered_) {
    if (part.span.from > reached + nothing) into.push_back({reached, part.span.from});
    reached = std::max(reached, part.span.to);
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

double BeadSupport::distance_along_mm(PlanePoint place, PlanePoint direction, double most_mm) {
  if (on_plate_) return 0;
  const auto at = [&](double mm) { return PlanePoint{place.x + mm * direction.x, place.y + mm * direction.y}; };
  for (double from_mm = 0; from_mm < most_mm; from_mm += first_reach_mm) {
    const double to_mm = std::min(from_mm + first_reach_mm, most_mm);
    cover(at(from_mm), at(to_mm), 0);
    if (!covered_.empty()) return from_mm + covered_.front().span.from * (to_mm - from_mm);
  }
  return most_mm;
}

bool BeadSupport::inside_below(PlanePoint place) const {
  return std::any_of(stack_->below.begin(), stack_->below.end(),
                     [&](const IndexedLayer* below) { return inside_outline(*below, place); });
}

}  // namespace beadwise
