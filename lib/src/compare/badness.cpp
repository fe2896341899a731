#include "compare/badness.hpp"

#include <algorithm>
#include <cmath>

#include "beadwise/compare.hpp"

namespace beadwise {

namespace {

// Near its limit a value wavers by more than the dead band of what it is beyond it.
constexpr double least_of_limit = 0.005;

/// How a check measures how bad it is.
enum class Scale : std::uint8_t {
  value,      ///< the larger the value, the worse
  beyond,     ///< the farther above its limit, the worse: a temperature, a coordinate
  shortfall,  ///< the farther below its limit, the worse
};

bool near(double a, double b) { return std::abs(a - b) <= 0.1 * std::max(std::abs(a), std::abs(b)); }

/// A place's value is the larger, the worse: the value itself, or how far it is off. A note may name the limit of the
/// next severity, which it does not reach.
Scale scale_of(const Finding& finding) {
  const double value = finding.measured->value;
  const double limit = finding.measured->limit;
  const double off = std::abs(value - limit);
  const bool has_places = !finding.places.empty();
  const double worst = finding.places.worst_value();
  const bool is_off = has_places && near(worst, off) && !near(worst, value);
  if (value >= limit) return is_off ? Scale::beyond : Scale::value;
  if (finding.severity > Severity::note || !has_places || is_off || worst <= 0) return Scale::shortfall;
  return worst <= value * 1.1 ? Scale::value : Scale::shortfall;
}

/// Where the two do not agree, what is above its limit tells for sure.
Scale common_scale(const Finding& a, const Finding& b) {
  const Scale of_a = scale_of(a);
  const Scale of_b = scale_of(b);
  if (of_a == of_b) return of_a;
  if (of_a == Scale::shortfall) return of_b;
  if (of_b == Scale::shortfall) return of_a;
  return Scale::beyond;
}

double badness(const Measured& measured, Scale scale, double unit) {
  switch (scale) {
    case Scale::value:
      return measured.value / unit;
    case Scale::beyond:
      return (measured.value - measured.limit) / unit;
    case Scale::shortfall:
      break;
  }
  return (measured.limit - measured.value) / unit;
}

int sign_beyond(double difference, double band) { return std::abs(difference) <= band ? 0 : difference < 0 ? -1 : 1; }

int by_count(const Finding& before, const Finding& after) {
  // What concerns the whole job has no place, and counts as one.
  const auto a = static_cast<double>(std::max<std::uint64_t>(before.places.count(), 1));
  const auto b = static_cast<double>(std::max<std::uint64_t>(after.places.count(), 1));
  return sign_beyond(b - a, dead_band_ratio * std::max(a, b));
}

int by_measure(const Finding& before, const Finding& after) {
  const Scale scale = common_scale(before, after);
  const Measured& a = *before.measured;
  const Measured& b = *after.measured;
  const bool by_limit = a.limit != 0 && b.limit != 0;
  const double bad_a = badness(a, scale, by_limit ? std::abs(a.limit) : 1);
  const double bad_b = badness(b, scale, by_limit ? std::abs(b.limit) : 1);
  const double band =
      std::max(dead_band_ratio * std::max(std::abs(bad_a), std::abs(bad_b)), by_limit ? least_of_limit : 0);
  return sign_beyond(bad_b - bad_a, band);
}

}  // namespace

int worsening(const Finding& before, const Finding& after) {
  if (before.severity != after.severity) return before.severity < after.severity ? 1 : -1;
  if (before.measured && after.measured && before.measured->unit == after.measured->unit)
    return by_measure(before, after);
  return by_count(before, after);
}

}  // namespace beadwise
