#include "report/quantity.hpp"

#include "report/spoken.hpp"

namespace beadwise {

std::string quantity(double value, const std::string& unit) {
  constexpr double percent = 100;
  if (unit == "ratio") return spoken(percent * value, 1) + " %";
  const std::string number = spoken(value, 3);
  return unit.empty() ? number : number + ' ' + unit;
}

}  // namespace beadwise
