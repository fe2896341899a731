#include "model/cylinder_heating.hpp"

#include <algorithm>
#include <array>
#include <boost/math/special_functions/bessel.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cassert>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace beadwise {

namespace {

// In double alone they are good to some 1e-16, and cost half.
using InDouble = boost::math::policies::policy<boost::math::policies::promote_double<false>>;

double j0(double x) { return boost::math::cyl_bessel_j(0, x, InDouble()); }
double j1(double x) { return boost::math::cyl_bessel_j(1, x, InDouble()); }

// Between two multiples of π lies exactly one root, for any Biot number: those of J0 at about (n − 1/4) π bound them
// from above, those of J1 at about (n − 3/4) π from below.
double root_of(double biot, std::size_t n) {
  const double low = static_cast<double>(n - 1) * std::numbers::pi;
  const auto difference = [&](double zeta) { return std::isinf(biot) ? -j0(zeta) : zeta * j1(zeta) - biot * j0(zeta); };
  // J0 and J1 alternate in sign: so does the difference from root to root.
  std::uintmax_t steps = 100;
  const auto [below, above] = boost::math::tools::toms748_solve(difference, low, low + std::numbers::pi,
                                                                boost::math::tools::eps_tolerance<double>(50), steps);
  return (below + above) / 2;
}

// Below it heat has not reached the axis: 1 − lag < 1e-10, by exp(−1/4Fo).
constexpr double core_untouched_fourier = 0.01;
constexpr double short_fourier = 0.001;

// The first terms of the solution for short times; derived by Laplace transformation.
double short_time_mean_lag(double fourier) {
  const double root = std::sqrt(fourier / std::numbers::pi);
  return 1 - (4 * root - fourier - fourier * root / 3);
}

/// Both lags over √Fo, in which they are smooth: values and slopes, with a cubic in between.
class Table {
 public:
  static constexpr double end = 2;  ///< of √Fo; beyond, one term is exact to 1e-40

  Table() : terms_(heating_terms(std::numeric_limits<double>::infinity(), most_terms)) {
    for (std::size_t i = 0; i <= steps; ++i) knots_[i] = knot_at(static_cast<double>(i) * step);
  }

  double core(double fourier) const {
    if (fourier <= core_untouched_fourier) return 1;
    if (fourier >= end * end) return terms_[0].core * std::exp(-terms_[0].root * terms_[0].root * fourier);
    return between(fourier, &Knot::core, &Knot::core_slope);
  }

  double mean(double fourier) const {
    if (fourier <= short_fourier) return short_time_mean_lag(std::max(0.0, fourier));
    if (fourier >= end * end) return terms_[0].mean * std::exp(-terms_[0].root * terms_[0].root * fourier);
    return between(fourier, &Knot::mean, &Knot::mean_slope);
  }

  double fourier_for_core(double lag) const {
    const HeatingTerm& first = terms_[0];
    // From here on one term is exact to 1e-11.
    constexpr double one_term_lag = 0.001;
    if (lag <= one_term_lag) return std::log(first.core / lag) / (first.root * first.root);
    const auto colder = [&](double fourier) { return core(fourier) - lag; };
    std::uintmax_t steps_left = 100;
    const auto [below, above] = boost::math::tools::toms748_solve(
        colder, core_untouched_fourier, end * end, boost::math::tools::eps_tolerance<double>(44), steps_left);
    return (below + above) / 2;
  }

 private:
  static constexpr std::size_t most_terms = 80;
  static constexpr std::size_t steps = 512;
  static constexpr double step = end / static_cast<double>(steps);

  struct Knot {
    double core = 1;
    double core_slope = 0;
    double mean = 1;
    double mean_slope = 0;
  };

  // Slopes are over one step of √Fo: d/ds exp(−ζ² s²) = −2 ζ² s exp(−ζ² s²).
  Knot knot_at(double root_fourier) const {
    const double fourier = root_fourier * root_fourier;
    Knot knot;
    // Never read: it lies more than a step below the short times, and the series would need more terms.
    if (root_fourier + step < std::sqrt(short_fourier)) return knot;
    knot = {0, 0, 0, 0};
    const double first_square = terms_[0].root * terms_[0].root;
    for (const HeatingTerm& term : terms_) {
      const double square = term.root * term.root;
      // It and those after it are less than 1e-17 of the first.
      constexpr double vanishing = 40;
      if ((square - first_square) * fourier > vanishing) break;
      const double left = std::exp(-square * fourier);
      const double slope = -2 * square * root_fourier * left * step;
      knot.core += term.core * left;
      knot.core_slope += term.core * slope;
      knot.mean += term.mean * left;
      knot.mean_slope += term.mean * slope;
    }
    return knot;
  }

  double between(double fourier, double Knot::*value, double Knot::*slope) const {
    const double place = std::sqrt(fourier) / step;
    const auto index = std::min(static_cast<std::size_t>(place), steps - 1);
    const double u = place - static_cast<double>(index);
    const Knot& low = knots_[index];
    const Knot& high = knots_[index + 1];
    const double difference = high.*value - low.*value;
    const double bend_low = low.*slope - difference;
    const double bend_high = difference - high.*slope;
    const double rest = 1 - u;
    return rest * low.*value + u * (high.*value) + u * rest * (rest * bend_low + u * bend_high);
  }

  std::vector<HeatingTerm> terms_;
  std::array<Knot, steps + 1> knots_;
};

const Table& table() {
  static const Table constant_wall;
  return constant_wall;
}

}  // namespace

std::vector<HeatingTerm> heating_terms(double biot, std::size_t count) {
  assert(biot > 0);
  std::vector<HeatingTerm> terms(count);
  for (std::size_t n = 1; n <= count; ++n) {
    HeatingTerm& term = terms[n - 1];
    term.root = root_of(biot, n);
    const double at0 = j0(term.root);
    const double at1 = j1(term.root);
    term.core = 2 / term.root * at1 / (at0 * at0 + at1 * at1);
    term.mean = term.core * 2 * at1 / term.root;
  }
  return terms;
}

double lag_at(std::span<const HeatingTerm> terms, double radius_ratio, double fourier) {
  double sum = 0;
  for (const HeatingTerm& term : terms)
    sum += term.core * std::exp(-term.root * term.root * fourier) * j0(term.root * radius_ratio);
  return sum;
}

double core_lag(std::span<const HeatingTerm> terms, double fourier) {
  double sum = 0;
  for (const HeatingTerm& term : terms) sum += term.core * std::exp(-term.root * term.root * fourier);
  return sum;
}

double mean_lag(std::span<const HeatingTerm> terms, double fourier) {
  double sum = 0;
  for (const HeatingTerm& term : terms) sum += term.mean * std::exp(-term.root * term.root * fourier);
  return sum;
}

double core_lag(double fourier) { return table().core(fourier); }
double mean_lag(double fourier) { return table().mean(fourier); }
double fourier_for_core_lag(double lag) { return table().fourier_for_core(lag); }

}  // namespace beadwise
