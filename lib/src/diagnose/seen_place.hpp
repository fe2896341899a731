#pragma once

#include "beadwise/diagnose.hpp"
#include "diagnose/bearings.hpp"

namespace beadwise {

/// How a finding lies to where something was seen, and how many of its places do.
struct Touch {
  Nearness nearness = Nearness::there;
  double share = 1;  ///< of its places; those before or below count by half
};

/// Where something was seen, to hold findings against.
class SeenPlace {
 public:
  /// Throws Error{usage} where nothing was printed there.
  SeenPlace(const FileReport& report, const Seen& seen);

  Touch touch(const Finding& finding, Reach reach) const;

 private:
  enum class Match : std::uint8_t { no, before, yes };

  /// A place of the print, as far as it is known.
  struct Spot {
    std::uint32_t layer = 0;
    std::optional<double> z_mm;
    std::optional<double> away_mm;  ///< from where it was seen, on the plate
  };

  Match match_of(const Spot& spot, Reach reach) const;
  std::optional<double> z_of(std::uint32_t layer) const;
  bool span_takes_in(const Places& places, Reach reach) const;

  const FileReport& report_;
  const Seen& seen_;
};

}  // namespace beadwise
