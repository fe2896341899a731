#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "beadwise/report.hpp"

namespace beadwise {

/// What tells a finding from another one of its check.
struct Features {
  std::vector<std::string> words;    ///< of its key, in order, each once; "tool 2" is one, other numbers are left out
  std::vector<std::string> letters;  ///< words of one letter: axes
};

Features features_of(const Finding& finding);

/// Words that two findings share over all their words, 0 to 1; 0 where they speak of different axes.
double likeness_of_words(const Features& a, const Features& b);

/// How far a part may have been moved on the plate from one job to the other, along X and Y.
struct PlateShift {
  std::array<double, 2> low_mm{};   ///< by the lower ends of the printed boxes
  std::array<double, 2> high_mm{};  ///< by their upper ends
};

PlateShift plate_shift(const FileReport& before, const FileReport& after);

/// How far the places of two findings lie in each other, 0 to 1, along the axis where they do least; none where one of
/// them has no places on the plate.
std::optional<double> likeness_of_places(const Finding& before, const Finding& after, const PlateShift& shift);

}  // namespace beadwise
