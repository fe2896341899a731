#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>

#include "beadwise/finding.hpp"

namespace beadwise {

namespace {

/// A value that is no number says nothing about how bad the place is.
double badness(const Place& place) {
  return std::isnan(place.value) ? -std::numeric_limits<double>::infinity() : place.value;
}

/// A total order, so that the places kept do not depend on the order in which they came.
bool worse(const Place& a, const Place& b) {
  const auto rank = [](const Place& place) {
    return std::make_tuple(-badness(place), place.line, place.layer, place.x_mm, place.y_mm, place.z_mm);
  };
  return rank(a) < rank(b);
}

template <class Number>
void widen(Number& first, Number& last, Number value) {
  if (value == 0) return;  // 0 stands for none
  first = first == 0 ? value : std::min(first, value);
  last = std::max(last, value);
}

bool is_finite(const Place& place) {
  return std::isfinite(place.x_mm) && std::isfinite(place.y_mm) && std::isfinite(place.z_mm);
}

Place without_position(Place place) {
  place.has_position = false;
  place.x_mm = place.y_mm = place.z_mm = 0;
  return place;
}

}  // namespace

Places::Places(const PlacesSpan& span, const std::vector<Place>& worst)
    : count_(std::max<std::uint64_t>(span.count, worst.size())),
      first_line_(span.first_line),
      last_line_(span.last_line),
      first_layer_(span.first_layer),
      last_layer_(span.last_layer),
      has_box_(span.has_box) {
  for (std::size_t axis = 0; axis < 3; ++axis) {
    low_[axis] = span.low_mm.at(axis);
    high_[axis] = span.high_mm.at(axis);
  }
  for (const Place& place : worst) keep(place.has_position && is_finite(place) ? place : without_position(place));
}

void Places::add(const Place& given) {
  const Place place = given.has_position && is_finite(given) ? given : without_position(given);
  ++count_;
  widen(first_line_, last_line_, place.line);
  widen(first_layer_, last_layer_, place.layer);
  if (place.has_position) {
    const double at[3] = {place.x_mm, place.y_mm, place.z_mm};
    for (int axis = 0; axis < 3; ++axis) {
      low_[axis] = has_box_ ? std::min(low_[axis], at[axis]) : at[axis];
      high_[axis] = has_box_ ? std::max(high_[axis], at[axis]) : at[axis];
    }
    has_box_ = true;
  }
  keep(place);
}

void Places::add(const Places& others) {
  count_ += others.count_;
  widen(first_line_, last_line_, others.first_line_);
  widen(first_line_, last_line_, others.last_line_);
  widen(first_layer_, last_layer_, others.first_layer_);
  widen(first_layer_, last_layer_, others.last_layer_);
  if (others.has_box_) {
    for (int axis = 0; axis < 3; ++axis) {
      low_[axis] = has_box_ ? std::min(low_[axis], others.low_[axis]) : others.low_[axis];
      high_[axis] = has_box_ ? std::max(high_[axis], others.high_[axis]) : others.high_[axis];
    }
    has_box_ = true;
  }
  for (const Place& place : std::vector<Place>(others.worst_)) keep(place);
}

void Places::keep(const Place& place) {
  if (worst_.size() == max_places) {
    if (!worse(place, worst_.front())) return;
    std::pop_heap(worst_.begin(), worst_.end(), worse);
    worst_.pop_back();
  }
  worst_.push_back(place);
  std::push_heap(worst_.begin(), worst_.end(), worse);
}

std::vector<Place> Places::worst() const {
  std::vector<Place> sorted = worst_;
  std::sort(sorted.begin(), sorted.end(), worse);
  return sorted;
}

double Places::worst_value() const {
  if (worst_.empty()) return 0;
  return std::min_element(worst_.begin(), worst_.end(), worse)->value;
}

}  // namespace beadwise
