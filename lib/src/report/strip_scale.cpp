#include "report/strip_scale.hpp"

#include <fmt/format.h>

#include <cmath>

#include "report/spoken.hpp"

namespace beadwise {

namespace {

// More do not stand side by side on a phone.
constexpr double most_ticks = 5;

double step_of(StripAxis along, double length) {
  if (along == StripAxis::time) {
    for (const double step_s : {1.0, 2.0, 5.0, 10.0, 20.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 1800.0, 3600.0,
                                7200.0, 14400.0, 21600.0, 43200.0})
      if (length / step_s <= most_ticks) return step_s;
    constexpr double day_s = 86400;
    return day_s * std::ceil(length / most_ticks / day_s);
  }
  const double power = std::pow(10.0, std::floor(std::log10(length / most_ticks)));
  for (const double factor : {1.0, 2.0, 5.0})
    if (length / (factor * power) <= most_ticks) return factor * power;
  return 10 * power;
}

}  // namespace

std::string position_text(StripAxis along, double position) {
  if (along == StripAxis::filament) return spoken_length(position);
  constexpr double minute_s = 60;
  constexpr double hour_s = 3600;
  if (position < minute_s) return fmt::format("{} s", spoken(position, 0));
  if (position < hour_s) {
    const double seconds = std::round(std::fmod(position, minute_s));
    if (seconds > 0 && seconds < minute_s && position < 10 * minute_s) return spoken_duration(position);
    return fmt::format("{:.0f} min", position / minute_s);
  }
  return std::fmod(position, hour_s) < minute_s / 2 ? fmt::format("{:.0f} h", position / hour_s)
                                                    : spoken_duration(position);
}

std::vector<StripTick> ticks_of(StripAxis along, double from, double to) {
  std::vector<StripTick> ticks;
  const double length = to - from;
  if (!(length > 0) || !std::isfinite(length)) return ticks;
  const double step = step_of(along, length);
  for (double at = std::ceil(from / step) * step; at <= to; at += step)
    ticks.push_back({(at - from) / length, position_text(along, at == 0 ? 0 : at)});
  return ticks;
}

}  // namespace beadwise
