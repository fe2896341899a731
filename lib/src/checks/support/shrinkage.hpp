#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "beadwise/profile.hpp"

namespace beadwise::checks {

/// How a plastic shrinks from where it sets down to the air around it.
struct Shrinkage {
  std::string material;
  double per_k = 0;  ///< linear thermal expansion, 1/K
  double sets_at_c = 0;

  /// Strain that is frozen in: ε = α (T_set − T_air); not below 0.
  double strain(double air_c) const;
};

/// The stated material, or each of those that the set points fit; none where nothing tells. A rubber is among them
/// with a strain of 0: it shrinks, but stretches rather than pulls.
std::vector<Shrinkage> shrinkages_of(const FilamentProfile& filament);

/// Where the figures are from, one line for each material; for pages and tests.
std::string_view shrinkage_source(std::string_view material);

}  // namespace beadwise::checks
