#include "diagnose/seen_place.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "beadwise/error.hpp"
#include "report/spoken.hpp"

namespace beadwise {

namespace {

// How far off a person may be: some screens count layers from 0; a ruler held to a print; a hand's look at the plate.
constexpr double layer_slack = 1;
constexpr double height_slack_mm = 0.5;
constexpr double near_mm = 10;

[[noreturn]] void refuse(const std::string& sentence) { throw Error(ErrorKind::usage, "", 0, 0, sentence); }

bool overlaps(double low, double high, const Range& range, double slack) {
  return low <= range.high + slack && high >= range.low - slack;
}

void refuse_what_lies_outside(const JobFigures& job, const Seen& seen) {
  const auto layers = static_cast<double>(job.layers);
  if (seen.layers && seen.layers->low > layers + layer_slack) {
    refuse(fmt::format("Layer {} was named, and this print has {}.", spoken(seen.layers->low, 0),
                       counted(job.layers, "layer")));
  }
  if (seen.height_mm && job.bounds_z_mm && !overlaps(0, job.bounds_z_mm->high, *seen.height_mm, height_slack_mm)) {
    refuse(fmt::format("A height of {} mm was named, and this print ends at Z {} mm.", spoken(seen.height_mm->low, 2),
                       spoken(job.bounds_z_mm->high, 2)));
  }
  if (!seen.at_mm || !job.bounds_x_mm || !job.bounds_y_mm) return;
  const auto [x, y] = *seen.at_mm;
  if (overlaps(job.bounds_x_mm->low, job.bounds_x_mm->high, {x, x}, near_mm) &&
      overlaps(job.bounds_y_mm->low, job.bounds_y_mm->high, {y, y}, near_mm))
    return;
  refuse(fmt::format("X {} Y {} was named, and this print lies at X {} to {}, Y {} to {}.", spoken(x, 1), spoken(y, 1),
                     spoken(job.bounds_x_mm->low, 1), spoken(job.bounds_x_mm->high, 1), spoken(job.bounds_y_mm->low, 1),
                     spoken(job.bounds_y_mm->high, 1)));
}

/// From a point to the stretch between two others.
double distance_mm(const std::array<double, 2>& at, const std::array<double, 2>& a, const std::array<double, 2>& b) {
  const double dx = b[0] - a[0];
  const double dy = b[1] - a[1];
  const double length2 = dx * dx + dy * dy;
  const double along = length2 > 0 ? std::clamp(((at[0] - a[0]) * dx + (at[1] - a[1]) * dy) / length2, 0.0, 1.0) : 0.0;
  return std::hypot(a[0] + along * dx - at[0], a[1] + along * dy - at[1]);
}

/// From a place to the way that a mark draws.
double distance_mm(const std::array<double, 2>& at, const Mark& mark) {
  double least = distance_mm(at, mark.points_mm.front(), mark.points_mm.front());
  for (std::size_t i = 1; i < mark.points_mm.size(); ++i)
    least = std::min(least, distance_mm(at, mark.points_mm[i - 1], mark.points_mm[i]));
  return least;
}

}  // namespace

SeenPlace::SeenPlace(const FileReport& report, const Seen& seen) : report_(report), seen_(seen) {
  if (report.job && report.job->layers > 0) refuse_what_lies_outside(*report.job, seen);
}

std::optional<double> SeenPlace::z_of(std::uint32_t layer) const {
  if (layer == 0 || layer > report_.layers.size()) return std::nullopt;
  return report_.layers[layer - 1].z_mm;
}

SeenPlace::Match SeenPlace::match_of(const Spot& spot, Reach reach) const {
  Match match = Match::yes;
  const auto hold = [&](double low, double high, const Range& range, double slack) {
    if (overlaps(low, high, range, slack)) return;
    match = reach != Reach::place && high < range.low ? std::min(match, Match::before) : Match::no;
  };
  if (seen_.layers && spot.layer > 0) hold(spot.layer, spot.layer, *seen_.layers, layer_slack);
  const std::optional<double> z_mm = spot.z_mm ? spot.z_mm : z_of(spot.layer);
  if (match != Match::no && seen_.height_mm && z_mm) hold(*z_mm, *z_mm, *seen_.height_mm, height_slack_mm);
  if (match == Match::no || !spot.away_mm || reach == Reach::earlier) return match;
  return *spot.away_mm <= near_mm ? match : Match::no;
}

/// Of places that are not kept one by one no more than their span is known.
bool SeenPlace::span_takes_in(const Places& places, Reach reach) const {
  const bool also_before = reach != Reach::place;
  if (seen_.layers && places.first_layer() > 0) {
    const double first = also_before ? 0 : seen_.layers->low - layer_slack;
    if (places.last_layer() < first || places.first_layer() > seen_.layers->high + layer_slack) return false;
  }
  if (!places.has_box()) return true;
  if (seen_.height_mm) {
    const Range wanted{also_before ? 0 : seen_.height_mm->low, seen_.height_mm->high};
    if (!overlaps(places.low(2), places.high(2), wanted, height_slack_mm)) return false;
  }
  if (!seen_.at_mm || reach == Reach::earlier) return true;
  const auto [x, y] = *seen_.at_mm;
  return overlaps(places.low(0), places.high(0), {x, x}, near_mm) &&
         overlaps(places.low(1), places.high(1), {y, y}, near_mm);
}

Touch SeenPlace::touch(const Finding& finding, Reach reach) const {
  if (!seen_.somewhere()) return {Nearness::there, 1};
  std::array<std::size_t, 3> counts{};
  const auto count = [&](const Spot& spot) { ++counts.at(static_cast<std::size_t>(match_of(spot, reach))); };
  for (const Place& place : finding.places.worst()) {
    if (place.layer == 0 && !place.has_position) continue;
    Spot spot{.layer = place.layer, .z_mm = std::nullopt, .away_mm = std::nullopt};
    if (place.has_position) spot.z_mm = place.z_mm;
    if (place.has_position && seen_.at_mm)
      spot.away_mm = std::hypot(place.x_mm - (*seen_.at_mm)[0], place.y_mm - (*seen_.at_mm)[1]);
    count(spot);
  }
  const std::size_t places = counts[0] + counts[1] + counts[2];
  if (places == 0) return {Nearness::whole_job, 1};
  if (counts[1] + counts[2] == 0 && seen_.at_mm) {
    // A travel is kept as the place where it begins; its mark is the whole way.
    for (const Mark& mark : finding.marks)
      if (!mark.points_mm.empty())
        count({.layer = mark.layer, .z_mm = std::nullopt, .away_mm = distance_mm(*seen_.at_mm, mark)});
  }
  const auto all = static_cast<double>(counts[0] + counts[1] + counts[2]);
  const double share = (static_cast<double>(counts[2]) + static_cast<double>(counts[1]) / 2) / all;
  if (counts[2] > 0) return {Nearness::there, share};
  if (counts[1] > 0) return {Nearness::before, share};
  const bool more = finding.places.count() > places;
  if (more && span_takes_in(finding.places, reach)) return {Nearness::perhaps, 0};
  return {Nearness::elsewhere, 0};
}

}  // namespace beadwise
