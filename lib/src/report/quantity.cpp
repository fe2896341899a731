#include "report/quantity.hpp"

#include <cmath>

#include "report/spoken.hpp"

namespace beadwise {

std::string quantity(double value, const std::string& unit) {
  constexpr double percent = 100;
  if (unit == "ratio") return spoken(percent * value, 1) + " %";
  // Four digits say all that is measured.
  const int decimals = std::abs(value) >= 100 ? 1 : std::abs(value) >= 10 ? 2 : 3;
  const std::string number = spoken(value, decimals);
  return unit.empty() ? number : number + ' ' + unit;
}

}  // namespace beadwise
