#pragma once

#include "beadwise/analyse.hpp"

namespace beadwise {

/// Reads a job a second time and fills in what of its report can be drawn: the layers that its findings lie on and how
/// the print runs. What is wrong with this reading is told in the pictures.
void add_pictures(const Source& source, const AnalyseOptions& options, const Profile& profile, FileReport& report);

}  // namespace beadwise
