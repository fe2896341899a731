#include <array>

#include "beadwise/finding.hpp"

namespace beadwise {

namespace {

constexpr std::array<std::string_view, all_symptoms.size()> symptom_names = {
    "stringing", "clogging",          "under-extrusion", "blobs",   "weak-layers", "illegible-text",  "scarring",
    "rough-top", "rough-first-layer", "knocked-loose",   "warping", "sagging",     "tube-pushed-out", "runout",
};

}  // namespace

std::string_view to_string(Symptom symptom) { return symptom_names.at(static_cast<std::size_t>(symptom)); }

}  // namespace beadwise
