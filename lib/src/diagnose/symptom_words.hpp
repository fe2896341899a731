#pragma once

#include <span>
#include <string_view>

#include "beadwise/finding.hpp"

namespace beadwise {

/// Words that point at a symptom, and how strongly.
///
/// `words` are parted by blanks; all of them must stand in the phrase, in any order. `|` parts alternatives, a `*` at
/// the end stands for any ending. "not" stands for every word that denies.
struct SymptomWords {
  Symptom symptom;
  int weight;  ///< 1: a hint that alone is not enough; 2: plain; 3: nothing else is meant
  std::string_view words;
};

std::span<const SymptomWords> symptom_words();

}  // namespace beadwise
