#include "checks/support/typical_value.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>

namespace beadwise::checks {
namespace {

constexpr double least = 1e-6;
constexpr double most = 1e6;
const double step = std::log(1.01);

}  // namespace

void TypicalValue::add(double value, double weight) {
  if (!std::isfinite(value) || value <= 0 || !(weight > 0)) return;
  const double steps = std::log(std::clamp(value, least, most) / least) / step;
  const auto index = static_cast<std::size_t>(steps);
  if (weights_.size() <= index) weights_.resize(index + 1);
  weights_[index] += weight;
  total_ += weight;
}

double TypicalValue::median() const {
  double below = 0;
  for (std::size_t index = 0; index < weights_.size(); ++index) {
    below += weights_[index];
    if (weights_[index] > 0 && below * 2 >= total_) return least * std::exp((static_cast<double>(index) + 0.5) * step);
  }
  return std::numeric_limits<double>::quiet_NaN();
}

}  // namespace beadwise::checks
