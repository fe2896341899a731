#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace beadwise {

/// One term of the series for a solid cylinder that is heated from its surface.
struct HeatingTerm {
  double root = 0;  ///< ζ: root of ζ J1(ζ) = Bi J0(ζ); of J0(ζ) = 0 where the wall's temperature is given
  double core = 0;  ///< C: weight on the axis
  double mean = 0;  ///< 2 C J1(ζ)/ζ: weight in the mean over the cross-section
};

/// The first `count` terms. `biot` is h R/k, above 0; infinite where the surface has the wall's temperature.
/// Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, chapter 7 (from memory).
std::vector<HeatingTerm> heating_terms(double biot, std::size_t count);

/// What is left of the temperature difference, (T − T_wall)/(T_in − T_wall), after Fourier number Fo = α t/R²: 1 cold,
/// 0 as hot as the wall. `radius_ratio` is r/R, 0 on the axis. Needs the more terms the smaller Fo is: 60 for 0.001.
double lag_at(std::span<const HeatingTerm> terms, double radius_ratio, double fourier);
/// The same on the axis.
double core_lag(std::span<const HeatingTerm> terms, double fourier);
/// The same in the mean over the cross-section, which is what a plug carries along.
double mean_lag(std::span<const HeatingTerm> terms, double fourier);

/// Lag of the core where the surface has the wall's temperature: the full series, read from a table, in constant time.
/// Off by less than 1e-8.
double core_lag(double fourier);
/// The same in the mean over the cross-section. Off by less than 1e-8; by less than 2e-7 below Fo = 0.001.
double mean_lag(double fourier);
/// The Fourier number after which the core lags by `lag`, 0 < lag < 1; the inverse of `core_lag`.
double fourier_for_core_lag(double lag);

}  // namespace beadwise
