#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "beadwise/compare.hpp"

namespace beadwise {

std::uint64_t count_of(const Comparison& comparison, Change change);

/// What changed, in one sentence.
std::string comparison_sentence(const Comparison& comparison);

/// "33 → 85 passes; the limit is 50 passes"; empty where nothing was measured in one of the two.
std::string measures_in_words(const ComparedFinding& finding);

/// What to know of how a finding was matched; empty where there is nothing.
std::string remark_on(const ComparedFinding& finding);

/// "new", "worse, accepted"
std::string change_in_words(const ComparedFinding& finding);

/// The checks of what did not change, each once, with how many findings there are of it.
std::vector<std::string> unchanged_checks(const Comparison& comparison);

/// The head and the rows of a table of figures: name with unit, before, after, difference, per cent; minutes and
/// metres where the report has seconds and millimetres.
std::vector<std::vector<std::string>> figure_table(const Comparison& comparison);

}  // namespace beadwise
