#include "report/strip_tracks.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace beadwise {

namespace {

// Room for a numbered disc, as a share of the narrowest page.
constexpr double disc_share = 0.075;
constexpr std::size_t most_lanes = 6;

/// The first moment kept at or after a line.
const LineMoment* moment_of(const Pictures& pictures, std::uint64_t line) {
  const auto found =
      std::lower_bound(pictures.moments.begin(), pictures.moments.end(), line,
                       [](const LineMoment& moment, std::uint64_t wanted) { return moment.line < wanted; });
  return line == 0 || found == pictures.moments.end() || found->line != line ? nullptr : &*found;
}

double position_of(const LineMoment& moment, const Strip& strip) {
  const double at = strip.along == StripAxis::time ? moment.time_s : moment.filament_mm;
  const double share = (at - strip.from) / (strip.to - strip.from);
  return std::isfinite(share) ? std::clamp(share, 0.0, 1.0) : 0;
}

std::optional<StripTrack> track_of(const Finding& finding, const Pictures& pictures, const Strip& strip) {
  const Places& places = finding.places;
  if (places.empty()) return std::nullopt;
  const LineMoment* worst = moment_of(pictures, places.worst().front().line);
  if (worst == nullptr) return std::nullopt;
  if (strip.along == StripAxis::filament && worst->tool != strip.tool) return std::nullopt;
  const LineMoment* first = moment_of(pictures, places.first_line());
  const LineMoment* last = moment_of(pictures, places.last_line());
  StripTrack track;
  track.severity = finding.severity;
  track.worst = position_of(*worst, strip);
  track.from = first == nullptr ? track.worst : std::min(track.worst, position_of(*first, strip));
  track.to = last == nullptr ? track.worst : std::max(track.worst, position_of(*last, strip));
  return track;
}

}  // namespace

std::vector<StripTrack> tracks_of(const FileReport& report, const Strip& strip) {
  std::vector<StripTrack> tracks;
  std::vector<std::vector<StripTrack>> lanes(most_lanes);
  for (std::size_t i = 0; i < report.findings.size(); ++i) {
    std::optional<StripTrack> track = track_of(report.findings[i], *report.pictures, strip);
    if (!track) continue;
    track->number = i + 1;
    const auto reaches = [&](const StripTrack& other) {
      return std::min(other.from, other.worst - disc_share / 2) < std::max(track->to, track->worst + disc_share / 2) &&
             std::min(track->from, track->worst - disc_share / 2) < std::max(other.to, other.worst + disc_share / 2);
    };
    const auto lane = std::find_if(lanes.begin(), lanes.end(), [&](const std::vector<StripTrack>& one) {
      return std::none_of(one.begin(), one.end(), reaches);
    });
    if (lane == lanes.end()) continue;
    track->lane = static_cast<std::size_t>(lane - lanes.begin());
    lane->push_back(*track);
    tracks.push_back(*track);
  }
  return tracks;
}

}  // namespace beadwise
