#pragma once

#include <cstdint>
#include <map>
#include <span>
#include <vector>

#include "beadwise/finding.hpp"
#include "beadwise/picture.hpp"

namespace beadwise {

/// Which layers of a job are to be drawn, and which go first where there is no room.
class WantedLayers {
 public:
  /// Of each finding the layers of its worst places and marks, one to three, and the one below each.
  WantedLayers(std::span<const Finding> findings, ReportData data);

  bool wants(std::uint32_t layer) const { return all_ || ranks_.count(layer) != 0; }
  /// 0 for the worst finding's; the layers that nothing was found on come last, those that halve the rest first.
  std::uint32_t rank(std::uint32_t layer) const;
  /// Where on a layer something was found, in hundredths of a millimetre.
  std::span<const PicturePoint> places_on(std::uint32_t layer) const;

 private:
  void add(std::uint32_t layer, std::uint32_t rank);

  bool all_ = false;
  std::map<std::uint32_t, std::uint32_t> ranks_;
  std::map<std::uint32_t, std::vector<PicturePoint>> places_;
};

/// Millimetres as hundredths, no farther than a picture can hold.
std::int32_t picture_units(double mm);

}  // namespace beadwise
