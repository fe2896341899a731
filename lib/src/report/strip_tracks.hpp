#pragma once

#include <cstddef>
#include <vector>

#include "beadwise/report.hpp"

namespace beadwise {

/// A finding along a strip, as shares of its length.
struct StripTrack {
  std::size_t number = 0;
  Severity severity = Severity::note;
  double from = 0;
  double to = 0;
  double worst = 0;
  std::size_t lane = 0;
};

/// The findings of a report along a strip, each in the first lane that is free where it lies; what finds none is left
/// out. The worst come first.
std::vector<StripTrack> tracks_of(const FileReport& report, const Strip& strip);

}  // namespace beadwise
