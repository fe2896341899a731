#pragma once

#include <span>
#include <string>
#include <vector>

#include "beadwise/diagnose.hpp"

namespace beadwise {

/// What no file shows of the symptoms, the likeliest first; each once.
std::vector<Look> looks_for(std::span<const Symptom> symptoms);

/// What to mind at the bench before anything is looked at by hand.
std::vector<std::string> bench_cautions();

}  // namespace beadwise
