#include "model/cylinder_heating.hpp"

#include <doctest/doctest.h>

#include <array>
#include <boost/math/special_functions/bessel.hpp>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "support/near.hpp"

namespace beadwise::tests {

namespace {

constexpr double pi = std::numbers::pi;
constexpr double infinite = std::numeric_limits<double>::infinity();

struct Lags {
  double core = 0;
  double mean = 0;
};

/// Heat conduction in a cylinder by finite differences: rings of equal width, fluxes through their faces, Crank and
/// Nicolson in time after two hundred implicit steps; the surface has the wall's temperature. Knows nothing of the
/// series.
class FiniteDifferences {
 public:
  explicit FiniteDifferences(int rings) : rings_(rings), values_(static_cast<std::size_t>(rings), 1.0) {}

  Lags at(double fourier) {
    constexpr int implicit_steps = 200;
    constexpr int steps = 2000;
    const double little = fourier / steps / 10;
    for (int i = 0; i < implicit_steps; ++i) step(little, 1);
    const double step_size = (fourier - implicit_steps * little) / steps;
    for (int i = 0; i < steps; ++i) step(step_size, 0.5);
    Lags lags;
    double area = 0;
    for (int i = 0; i < rings_; ++i) {
      lags.mean += value(i) * (2 * i + 1);
      area += 2 * i + 1;
    }
    lags.mean /= area;
    // The field is even in r: a parabola through the two innermost rings, at r = 1/2 and 3/2 of their width.
    lags.core = (9 * value(0) - value(1)) / 8;
    return lags;
  }

 private:
  double value(int ring) const { return values_[static_cast<std::size_t>(ring)]; }

  // dθ/dt = (1/r) d/dr (r dθ/dr); the face between rings i and i + 1 lies at r = (i + 1) w.
  double outward(int ring) const { return ring + 1 == rings_ ? 2.0 * rings_ : ring + 1.0; }

  void step(double time, double implicit) {
    const auto count = static_cast<std::size_t>(rings_);
    std::vector<double> upper(count), right(count);
    const double width = 1.0 / rings_;
    for (int i = 0; i < rings_; ++i) {
      const double scale = time / (width * width) / (i + 0.5);
      const double in = scale * i;  // through the face on the axis' side
      const double out = scale * outward(i);
      const double outer = i + 1 == rings_ ? 0.0 : value(i + 1);
      const double inner = i == 0 ? 0.0 : value(i - 1);
      const double change = in * (inner - value(i)) + out * (outer - value(i));
      double diagonal = 1 + implicit * (in + out);
      double known = value(i) + (1 - implicit) * change;
      if (i > 0) {
        diagonal -= implicit * in * upper[static_cast<std::size_t>(i - 1)];
        known += implicit * in * right[static_cast<std::size_t>(i - 1)];
      }
      upper[static_cast<std::size_t>(i)] = i + 1 == rings_ ? 0 : implicit * out / diagonal;
      right[static_cast<std::size_t>(i)] = known / diagonal;
    }
    for (int i = rings_ - 1; i >= 0; --i) {
      const double after = i + 1 == rings_ ? 0.0 : value(i + 1);
      values_[static_cast<std::size_t>(i)] =
          right[static_cast<std::size_t>(i)] + upper[static_cast<std::size_t>(i)] * after;
    }
  }

  int rings_;
  std::vector<double> values_;
};

}  // namespace

TEST_CASE("one-term table of Heisler's solution for a cylinder") {
  // Incropera and Bergman, Fundamentals of Heat and Mass Transfer, table 5.1, recomputed to 5 decimals; Bi, ζ1, C1.
  struct Row {
    double biot, root, core;
  };
  constexpr std::array rows{Row{0.01, 0.14124, 1.00250}, Row{0.02, 0.19950, 1.00498}, Row{0.04, 0.28143, 1.00993},
                            Row{0.06, 0.34383, 1.01485}, Row{0.08, 0.39603, 1.01973}, Row{0.1, 0.44168, 1.02458},
                            Row{0.2, 0.61697, 1.04830},  Row{0.3, 0.74646, 1.07116},  Row{0.4, 0.85158, 1.09314},
                            Row{0.5, 0.94077, 1.11425},  Row{0.6, 1.01844, 1.13450},  Row{0.7, 1.08725, 1.15389},
                            Row{0.8, 1.14897, 1.17243},  Row{0.9, 1.20484, 1.19016},  Row{1, 1.25578, 1.20709},
                            Row{2, 1.59945, 1.33838},    Row{3, 1.78866, 1.41909},    Row{4, 1.90808, 1.46980},
                            Row{5, 1.98981, 1.50287},    Row{6, 2.04901, 1.52531},    Row{8, 2.12864, 1.55258},
                            Row{10, 2.17950, 1.56769},   Row{20, 2.28805, 1.59194},   Row{30, 2.32614, 1.59729},
                            Row{40, 2.34552, 1.59927},   Row{50, 2.35724, 1.60022},   Row{100, 2.38090, 1.60152}};
  for (const Row& row : rows) {
    CAPTURE(row.biot);
    const HeatingTerm first = heating_terms(row.biot, 1).front();
    CHECK(near(first.root, row.root, 6e-6));
    CHECK(near(first.core, row.core, 6e-6));
  }
}

TEST_CASE("with the wall's temperature at the surface the roots are the zeros of J0") {
  const std::vector<HeatingTerm> terms = heating_terms(infinite, 64);
  for (std::size_t n = 0; n < terms.size(); ++n) {
    CAPTURE(n);
    // Boost.Math finds them by another way; std:: evaluates J0 by other series.
    CHECK(near(terms[n].root, boost::math::cyl_bessel_j_zero(0.0, static_cast<int>(n + 1)), 1e-12));
    CHECK(near(std::cyl_bessel_j(0, terms[n].root), 0, 1e-11));
    // C = 2/(ζ J1), mean weight 4/ζ²
    CHECK(near(terms[n].core, 2 / (terms[n].root * std::cyl_bessel_j(1, terms[n].root)), 1e-9));
    CHECK(near(terms[n].mean, 4 / (terms[n].root * terms[n].root), 1e-12));
  }
  constexpr std::array roots{2.4048255577, 5.5200781103, 8.6537279129, 11.7915344390, 14.9309177085, 18.0710639679};
  constexpr std::array cores{1.6019747, -1.0647993, 0.8513992, -0.7296452, 0.6485236, -0.5895428};
  for (std::size_t n = 0; n < roots.size(); ++n) {
    CHECK(near(terms[n].root, roots[n], 1e-10));
    CHECK(near(terms[n].core, cores[n], 1e-7));
  }
}

TEST_CASE("roots for any Biot number solve ζ J1(ζ) = Bi J0(ζ), one between each two multiples of π") {
  for (const double biot : {1e-3, 0.705, 1.02, 10.0, 1e4}) {
    const std::vector<HeatingTerm> terms = heating_terms(biot, 20);
    for (std::size_t n = 0; n < terms.size(); ++n) {
      const double zeta = terms[n].root;
      CHECK(zeta > static_cast<double>(n) * pi);
      CHECK(zeta < static_cast<double>(n + 1) * pi);
      CHECK(near(zeta * std::cyl_bessel_j(1, zeta) / biot, std::cyl_bessel_j(0, zeta), 1e-9 * (1 + zeta / biot)));
    }
  }
}

TEST_CASE("lag of core and mean at a constant wall temperature") {
  // Values of the series, cross-checked by finite differences below.
  struct Row {
    double fourier, core, mean;
  };
  constexpr std::array rows{Row{0.02, 0.999993, 0.701436}, Row{0.05, 0.987099, 0.547879}, Row{0.10, 0.848355, 0.394176},
                            Row{0.15, 0.661834, 0.291863}, Row{0.20, 0.501487, 0.217852}, Row{0.30, 0.282487, 0.122028},
                            Row{0.40, 0.158489, 0.068431}, Row{0.50, 0.088890, 0.038379}, Row{0.60, 0.049853, 0.021524},
                            Row{0.80, 0.015681, 0.006770}, Row{1.00, 0.004932, 0.002130}};
  for (const Row& row : rows) {
    CAPTURE(row.fourier);
    CHECK(near(core_lag(row.fourier), row.core, 6e-7));
    CHECK(near(mean_lag(row.fourier), row.mean, 6e-7));
  }
}

TEST_CASE("one term alone is wrong where little time has passed") {
  // At Fo = 0.02 it would leave the core colder than it came in; at 0.1 it is 5.9 % off, at 0.2 it is 0.48 % off.
  const std::vector<HeatingTerm> one = heating_terms(infinite, 1);
  CHECK(near(core_lag(one, 0.02), 1.4270, 1e-4));
  CHECK(near(core_lag(one, 0.10), 0.89845, 1e-5));
  CHECK(near(core_lag(one, 0.20), 0.50389, 1e-5));
  CHECK(core_lag(0.02) < 1);
}

TEST_CASE("the table keeps to the series everywhere, and both lags only fall") {
  const std::vector<HeatingTerm> terms = heating_terms(infinite, 200);
  double core_before = 1;
  double mean_before = 1;
  for (double fourier = 1e-4; fourier < 6; fourier *= 1.0037) {
    CAPTURE(fourier);
    const bool short_time = fourier < 0.001;
    REQUIRE(near(core_lag(fourier), core_lag(terms, fourier), 1e-8));
    REQUIRE(near(mean_lag(fourier), mean_lag(terms, fourier), short_time ? 2e-7 : 1e-8));
    REQUIRE(core_lag(fourier) <= core_before + 1e-12);
    REQUIRE(mean_lag(fourier) <= mean_before + 2e-7);
    core_before = core_lag(fourier);
    mean_before = mean_lag(fourier);
  }
  CHECK(core_lag(0) == 1);
  CHECK(mean_lag(0) == 1);
  CHECK(core_lag(1e6) == 0);
}

TEST_CASE("short time: the mean falls by 4 √(Fo/π) − Fo − Fo^1.5/(3 √π)") {
  const double fourier = 0.01;
  const double form = 1 - (4 * std::sqrt(fourier / pi) - fourier - std::pow(fourier, 1.5) / (3 * std::sqrt(pi)));
  CHECK(near(form, 0.784512, 1e-6));
  CHECK(near(mean_lag(fourier), 0.784526, 1e-6));
}

TEST_CASE("finite differences give the same as the series") {
  for (const double fourier : {0.02, 0.05, 0.1, 0.2, 0.4, 0.8}) {
    CAPTURE(fourier);
    const Lags lags = FiniteDifferences(200).at(fourier);
    CHECK(near(core_lag(fourier), lags.core, 1e-4));
    CHECK(near(mean_lag(fourier), lags.mean, 1e-4));
  }
}

TEST_CASE("Fourier number needed for a lag") {
  struct Row {
    double biot;
    std::array<double, 7> fourier;
  };
  constexpr std::array lags{0.5, 0.3, 0.2, 0.1, 0.05, 0.02, 0.01};
  constexpr std::array rows{
      Row{infinite, {0.20052, 0.28958, 0.35976, 0.47964, 0.59949, 0.75793, 0.87779}},
      Row{50, {0.20851, 0.30119, 0.37424, 0.49900, 0.62374, 0.78864, 0.91339}},
      Row{20, {0.22033, 0.31869, 0.39623, 0.52864, 0.66105, 0.83607, 0.96848}},
      Row{10, {0.23964, 0.34801, 0.43345, 0.57938, 0.72530, 0.91820, 1.06412}},
      Row{5, {0.27710, 0.40689, 0.50937, 0.68444, 0.85951, 1.09093, 1.26600}},
      Row{2, {0.38455, 0.58454, 0.74305, 1.01400, 1.28494, 1.64312, 1.91406}},
      Row{1, {0.55885, 0.88281, 1.13992, 1.57946, 2.01900, 2.60004, 3.03957}},
  };
  for (const Row& row : rows) {
    const std::vector<HeatingTerm> terms = heating_terms(row.biot, 30);
    for (std::size_t i = 0; i < lags.size(); ++i) {
      CAPTURE(row.biot);
      CAPTURE(lags[i]);
      // The lag falls by ζ1² per unit of Fo: half a digit of the fifth decimal of Fo is that much of it.
      const double tolerance = lags[i] * terms[0].root * terms[0].root * 6e-6;
      CHECK(near(core_lag(terms, row.fourier[i]), lags[i], tolerance));
    }
  }
  for (std::size_t i = 0; i < lags.size(); ++i) CHECK(near(fourier_for_core_lag(lags[i]), rows[0].fourier[i], 6e-6));
  // For the mean, Bi infinite.
  constexpr std::array mean_fourier{0.06306, 0.14534, 0.21471, 0.33441, 0.45426, 0.61270, 0.73256};
  for (std::size_t i = 0; i < lags.size(); ++i) CHECK(near(mean_lag(mean_fourier[i]), lags[i], 5e-5));
}

TEST_CASE("the inverse gives back what it was asked for") {
  for (double lag = 0.999; lag > 1e-7; lag *= 0.9) {
    CAPTURE(lag);
    CHECK(near(core_lag(fourier_for_core_lag(lag)) / lag, 1, 1e-7));
  }
}

TEST_CASE("worked example: a shaft heated for twenty minutes") {
  // Çengel, Heat and Mass Transfer, problem 11-41: D 0.35 m, k 14.9 W/mK, α 3.95e-6 m²/s, h 60 W/m²K, from 400 °C into
  // 150 °C, 1200 s. Bi = 60 × 0.175/14.9 = 0.7047, Fo = 3.95e-6 × 1200/0.175² = 0.1548; printed with one term: 390 °C.
  const double biot = 60 * 0.175 / 14.9;
  const double fourier = 3.95e-6 * 1200 / (0.175 * 0.175);
  CHECK(near(150 + 250 * core_lag(heating_terms(biot, 1), fourier), 390.18, 0.01));
  // Fo < 0.2: the full series says 385.73 °C.
  CHECK(near(150 + 250 * core_lag(heating_terms(biot, 30), fourier), 385.73, 0.01));
}

TEST_CASE("worked example: a point off the axis") {
  // After Nellis and Klein, Heat Transfer, section 3.5.2: r/R 0.3, Fo 0.23, Bi 1.02, 20 terms: 0.8034.
  CHECK(near(lag_at(heating_terms(1.02, 20), 0.3, 0.23), 0.8034, 5e-5));
}

TEST_CASE("far down the tube a plug takes up heat as Graetz's limits say, and a melt with a parabolic profile less") {
  // Nu = −d ln θm/dFo for a plug, ζ1² = 5.78319. Kays and Crawford, Convective Heat and Mass Transfer: λ1² = 7.313 for
  // a parabola, Nu = λ1²/2 = 3.65679.
  const double plug = std::log(mean_lag(1.5) / mean_lag(2.5));
  CHECK(near(plug, 5.78319, 1e-5));
  constexpr double parabola = 7.3135869 / 2;
  CHECK(near(parabola, 3.65679, 1e-5));
  // A plug is the quicker bracket: its mean lags less at every length (parabolic means derived from Graetz's series).
  constexpr std::array<std::array<double, 2>, 5> parabolic_mean{
      {{0.1, 0.57879}, {0.2, 0.39530}, {0.3, 0.27357}, {0.5, 0.13160}, {1.0, 0.02114}}};
  for (const auto& [fourier, mean] : parabolic_mean) CHECK(mean_lag(fourier) < mean);
}

}  // namespace beadwise::tests
