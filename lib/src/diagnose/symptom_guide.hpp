#pragma once

#include <array>
#include <span>
#include <string_view>
#include <vector>

#include "beadwise/finding.hpp"

namespace beadwise {

/// A symptom as people see it and say it.
struct SymptomGuide {
  Symptom symptom;
  std::string_view seen;                  ///< in a few plain words
  std::vector<std::string_view> phrases;  ///< as people put it; `understand` reads each as this symptom
};

/// All symptoms, in the order of `Symptom`.
std::span<const SymptomGuide> symptom_guides();

}  // namespace beadwise
