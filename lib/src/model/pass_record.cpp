#include "model/pass_record.hpp"

#include <algorithm>

namespace beadwise {

void PassRecord::make_room(std::int64_t high) {
  const auto steps = static_cast<std::int64_t>(most_steps);
  while (high > step_ * steps) {
    for (std::size_t i = 0; 2 * i < pulls_.size(); ++i) {
      const std::uint64_t second = 2 * i + 1 < pulls_.size() ? pulls_[2 * i + 1] : 0;
      pulls_[i] = std::max(pulls_[2 * i], second);
    }
    pulls_.resize((pulls_.size() + 1) / 2);
    step_ *= 2;
  }
  const auto needed = static_cast<std::size_t>((high + step_ - 1) / step_);
  if (pulls_.size() < needed) pulls_.resize(needed);
}

void PassRecord::add(std::int64_t low, std::int64_t high, std::uint64_t pulls) {
  low = std::max<std::int64_t>(low, 0);
  if (low >= high) return;
  make_room(high);
  const auto first = static_cast<std::size_t>(low / step_);
  const auto end = static_cast<std::size_t>((high + step_ - 1) / step_);
  for (std::size_t i = first; i < end; ++i) pulls_[i] = std::max(pulls_[i], pulls);
}

PassesAlong PassRecord::passes(std::int64_t fed) const {
  PassRecord whole = *this;
  whole.make_room(std::max<std::int64_t>(fed, 0));
  constexpr double ticks_per_mm = 1e6;
  PassesAlong along;
  along.step_mm = static_cast<double>(whole.step_) / ticks_per_mm;
  for (const std::uint64_t pulls : whole.pulls_) along.most.push_back(1 + 2 * pulls);
  return along;
}

}  // namespace beadwise
