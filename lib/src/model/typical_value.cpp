#include "model/typical_value.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <limits>

namespace beadwise {
namespace {

constexpr double least = 1e-6;
constexpr double most = 1e6;

// The leading bits of a positive double count up with its value: the exponent and seven bits of the fraction make steps
// of at most 1/128 of the value, without a logarithm for each.
constexpr unsigned dropped_bits = 52 - 7;

std::uint64_t leading_bits(double value) { return std::bit_cast<std::uint64_t>(value) >> dropped_bits; }

double middle_of(std::uint64_t leading) {
  return std::bit_cast<double>((leading << dropped_bits) | (std::uint64_t{1} << (dropped_bits - 1)));
}

}  // namespace

void TypicalValue::add(double value, double weight) {
  if (!std::isfinite(value) || value <= 0 || !(weight > 0)) return;
  const auto index = static_cast<std::size_t>(leading_bits(std::clamp(value, least, most)) - leading_bits(least));
  if (weights_.size() <= index) weights_.resize(index + 1);
  weights_[index] += weight;
  total_ += weight;
}

double TypicalValue::median() const {
  double below = 0;
  for (std::size_t index = 0; index < weights_.size(); ++index) {
    below += weights_[index];
    if (weights_[index] > 0 && below * 2 >= total_) return middle_of(leading_bits(least) + index);
  }
  return std::numeric_limits<double>::quiet_NaN();
}

}  // namespace beadwise
