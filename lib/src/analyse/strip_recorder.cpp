#include "analyse/strip_recorder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/circle.hpp"

namespace beadwise {

namespace {

std::size_t bins_for(double duration_s) {
  const double steps = std::ceil(duration_s / TimeSeries::first_step_s);
  return static_cast<std::size_t>(std::clamp(steps, 1.0, static_cast<double>(Strip::most_bins)));
}

/// Rows of a series over the time of a job. `at_least_mean`: the least of a bin is the least mean of its rows, for
/// quantities that fall to nothing between any two moves.
std::vector<StripBin> bins_of(const std::vector<SeriesRow>& rows, double duration_s, bool at_least_mean) {
  std::vector<StripBin> bins(bins_for(duration_s));
  std::vector<double> counts(bins.size());
  std::vector<double> sums(bins.size());
  for (const SeriesRow& row : rows) {
    const double middle_s = row.start_s + row.step_s / 2;
    const auto bin =
        std::min(static_cast<std::size_t>(middle_s / duration_s * static_cast<double>(bins.size())), bins.size() - 1);
    const auto least = static_cast<float>(at_least_mean ? row.mean : row.least);
    const auto most = static_cast<float>(row.most);
    bins[bin].low = counts[bin] > 0 ? std::min(bins[bin].low, least) : least;
    bins[bin].high = counts[bin] > 0 ? std::max(bins[bin].high, most) : most;
    counts[bin] += 1;
    sums[bin] += row.mean;
    bins[bin].mean = static_cast<float>(sums[bin] / counts[bin]);
  }
  return bins;
}

/// What is known at the end of a bead holds until the next one ends, a long one too; after a longer while nothing does.
std::vector<StripBin> held(std::vector<StripBin> bins) {
  constexpr std::size_t longest = Strip::most_bins / 50;
  std::size_t since = longest;
  for (std::size_t i = 0; i < bins.size(); ++i) {
    since = std::isfinite(bins[i].mean) ? 0 : since + 1;
    if (since > 0 && since < longest) bins[i] = bins[i - 1];
  }
  return bins;
}

Strip over_time(std::string title, std::string unit, double duration_s, StripCurve curve) {
  Strip strip;
  strip.title = std::move(title);
  strip.unit = std::move(unit);
  strip.to = duration_s;
  strip.curves.push_back(std::move(curve));
  return strip;
}

Strip along_filament(const PassesAlong& passes) {
  Strip strip;
  strip.title = passes.tool == 0 ? "Gear passes" : fmt::format("Gear passes, tool {}", passes.tool);
  strip.unit = "passes";
  strip.along = StripAxis::filament;
  strip.to = passes.step_mm * static_cast<double>(passes.most.size());
  strip.tool = passes.tool;
  StripCurve& curve = strip.curves.emplace_back();
  curve.name = "of each point of the filament";
  for (const std::uint64_t most : passes.most) {
    const auto value = static_cast<float>(most);
    curve.bins.push_back({0, value, value});
  }
  return strip;
}

}  // namespace

StripRecorder::StripRecorder(const Profile& profile)
    : filament_mm2_(circle_area_mm2(*profile.machine.filament_diameter_mm)), melt_setup_(melt_setup_from(profile)) {
  if (melt_setup_) melt_.emplace(*melt_setup_);
  filament_.keep_passes();
}

void StripRecorder::on_moves(const MoveBatch& batch) {
  filament_.on_moves(batch);
  if (melt_) {
    for (const MeltSample& sample : melt_->on_moves(batch)) {
      asked_.add_point(sample.time_s, sample.flow_asked_mm3_per_s);
      heated_.add_point(sample.time_s, sample.flow_heated_mm3_per_s);
      core_.add_point(sample.time_s, sample.core_c);
    }
  }
  for (const Move& move : batch.moves) {
    if (move.path_mm <= 0) continue;
    const double flow = move.kind == MoveKind::bead ? move.filament_mm * filament_mm2_ / move.path_mm : 0;
    for_each_phase(move, [&](double start_s, double duration_s, double first, double last) {
      speed_.add(start_s, duration_s, first, last);
      if (flow > 0) flow_.add(start_s, duration_s, flow * first, flow * last);
    });
  }
}

Strip StripRecorder::flow(double duration_s) const {
  Strip strip = over_time("Flow", "mm³/s", duration_s, {"laid", bins_of(flow_.rows(), duration_s, true)});
  const std::vector<SeriesRow> asked = asked_.rows();
  if (asked.empty()) return strip;
  strip.curves.push_back({"asked of the melt zone", held(bins_of(asked, duration_s, false))});
  strip.limit = held(bins_of(heated_.rows(), duration_s, false));
  strip.limit_name = "melts through";
  return strip;
}

std::optional<Strip> StripRecorder::core(double duration_s) const {
  const std::vector<SeriesRow> rows = core_.rows();
  if (rows.empty()) return std::nullopt;
  Strip strip = over_time("Core of the filament", "°C", duration_s,
                          {"where it leaves the nozzle", held(bins_of(rows, duration_s, false))});
  const auto flows_c = static_cast<float>(melt_setup_->flow_temperature_c);
  strip.limit = {{flows_c, flows_c, flows_c}};
  strip.limit_name = "flows from";
  strip.bad_above = false;
  return strip;
}

Strip StripRecorder::speed(double duration_s) const {
  return over_time("Speed of the head", "mm/s", duration_s, {"speed", bins_of(speed_.rows(), duration_s, true)});
}

std::vector<Strip> StripRecorder::strips(double duration_s) {
  std::vector<Strip> strips;
  if (duration_s > 0) {
    strips.push_back(flow(duration_s));
    if (std::optional<Strip> one = core(duration_s)) strips.push_back(std::move(*one));
    strips.push_back(speed(duration_s));
  }
  filament_.finish();
  for (const PassesAlong& passes : filament_.passes()) strips.push_back(along_filament(passes));
  return strips;
}

}  // namespace beadwise
