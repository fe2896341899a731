#include "model/time_series.hpp"

#include <algorithm>
#include <cmath>

namespace beadwise {

void TimeSeries::widen() {
  for (std::size_t i = 0; 2 * i < steps_.size(); ++i) {
    Step joined = steps_[2 * i];
    if (2 * i + 1 < steps_.size() && steps_[2 * i + 1].used) {
      const Step& second = steps_[2 * i + 1];
      joined.integral += second.integral;
      joined.points += second.points;
      joined.least = joined.used ? std::min(joined.least, second.least) : second.least;
      joined.most = joined.used ? std::max(joined.most, second.most) : second.most;
      joined.used = true;
    }
    steps_[i] = joined;
  }
  steps_.resize((steps_.size() + 1) / 2);
  step_s_ *= 2;
}

void TimeSeries::make_room(double end_s) {
  while (end_s > step_s_ * static_cast<double>(most_rows)) widen();
}

void TimeSeries::add_to(Step& step, double integral, double first, double last) {
  step.integral += integral;
  step.least = step.used ? std::min({step.least, first, last}) : std::min(first, last);
  step.most = step.used ? std::max({step.most, first, last}) : std::max(first, last);
  step.used = true;
}

void TimeSeries::add(double start_s, double duration_s, double first, double last) {
  if (!(duration_s > 0)) return;
  const double end_s = start_s + duration_s;
  make_room(end_s);
  const double slope = (last - first) / duration_s;
  auto index = static_cast<std::size_t>(start_s / step_s_);
  for (double from_s = start_s; from_s < end_s && index < most_rows; ++index) {
    const double to_s = std::min(end_s, step_s_ * static_cast<double>(index + 1));
    if (steps_.size() <= index) steps_.resize(index + 1);
    if (to_s > from_s) {
      const double begins = first + slope * (from_s - start_s);
      const double ends = first + slope * (to_s - start_s);
      add_to(steps_[index], (begins + ends) / 2 * (to_s - from_s), begins, ends);
    }
    from_s = std::max(from_s, to_s);
  }
}

void TimeSeries::add_point(double time_s, double value) {
  if (!std::isfinite(value) || !(time_s >= 0)) return;
  of_points_ = true;
  make_room(time_s);
  const auto index = std::min(most_rows - 1, static_cast<std::size_t>(time_s / step_s_));
  if (steps_.size() <= index) steps_.resize(index + 1);
  add_to(steps_[index], value, value, value);
  ++steps_[index].points;
}

std::vector<SeriesRow> TimeSeries::rows() const {
  std::vector<SeriesRow> rows;
  rows.reserve(steps_.size());
  for (std::size_t i = 0; i < steps_.size(); ++i) {
    const Step& step = steps_[i];
    if (of_points_ && !step.used) continue;
    const double over = of_points_ ? static_cast<double>(step.points) : step_s_;
    rows.push_back({step_s_ * static_cast<double>(i), step_s_, step.integral / over, step.least, step.most});
  }
  return rows;
}

}  // namespace beadwise
