#include "base/weighted_quantile.hpp"

#include <algorithm>
#include <numeric>

namespace beadwise {

namespace {

double weight_of(std::span<const Weighted> values) {
  return std::accumulate(values.begin(), values.end(), 0.0,
                         [](double sum, const Weighted& one) { return sum + one.weight; });
}

}  // namespace

double weighted_quantile(std::span<Weighted> values, double share) {
  if (values.empty()) return 0;
  double wanted = share * weight_of(values);
  while (values.size() > 1) {
    // Only the half that it lies in is looked at further: no sorting is needed.
    const std::size_t half = values.size() / 2;
    std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(half), values.end(),
                     [](const Weighted& a, const Weighted& b) { return a.value < b.value; });
    const double low_weight = weight_of(values.first(half));
    if (wanted <= low_weight) {
      values = values.first(half);
    } else {
      wanted -= low_weight;
      values = values.subspan(half);
    }
  }
  return values.front().value;
}

}  // namespace beadwise
