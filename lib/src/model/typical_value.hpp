#pragma once

#include <vector>

namespace beadwise {

/// The weighted median of many positive values, within half a per cent, in bounded memory.
class TypicalValue {
 public:
  /// Values that are not finite or not positive are left out.
  void add(double value, double weight);
  bool empty() const { return total_ <= 0; }
  /// NaN where nothing was added.
  double median() const;

 private:
  std::vector<double> weights_;  ///< by step of the value, each at most 1/128 of it
  double total_ = 0;
};

}  // namespace beadwise
