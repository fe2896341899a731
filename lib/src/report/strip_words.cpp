#include "report/strip_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "report/spoken.hpp"
#include "report/strip_scale.hpp"

namespace beadwise {

namespace {

constexpr double percent = 100;

std::string with_unit(double value, const std::string& unit) {
  // Passes are whole; two digits after the point say all that the model knows of the rest.
  return spoken(value, unit == "°C" ? 0 : 2) + ' ' + unit;
}

/// The bin with the worst value, and how much of the strip is beyond the limit.
struct Extreme {
  double value = 0;
  double share = 0;
  std::size_t bins = 0;
  std::size_t beyond = 0;
};

std::optional<Extreme> extreme_of(const Strip& strip) {
  std::optional<Extreme> extreme;
  const std::vector<StripBin>& bins = strip.curves.back().bins;
  Extreme counted_bins;
  for (std::size_t i = 0; i < bins.size(); ++i) {
    if (!has(bins[i])) continue;
    ++counted_bins.bins;
    if (is_beyond(strip, i)) ++counted_bins.beyond;
    const double value = strip.bad_above ? bins[i].high : bins[i].low;
    if (extreme && (strip.bad_above ? value <= extreme->value : value >= extreme->value)) continue;
    extreme = Extreme{value, (static_cast<double>(i) + 0.5) / static_cast<double>(bins.size()), 0, 0};
  }
  if (!extreme) return extreme;
  extreme->bins = counted_bins.bins;
  extreme->beyond = counted_bins.beyond;
  return extreme;
}

std::string limit_range(const Strip& strip) {
  double least = 0;
  double most = 0;
  bool any = false;
  for (const StripBin& bin : strip.limit) {
    if (!has(bin)) continue;
    least = any ? std::min(least, double{bin.low}) : double{bin.low};
    most = any ? std::max(most, double{bin.high}) : double{bin.high};
    any = true;
  }
  if (!any) return {};
  constexpr double alike = 0.005;
  if (most - least <= alike * std::abs(most)) return with_unit(most, strip.unit);
  return spoken(least, 2) + " to " + with_unit(most, strip.unit);
}

}  // namespace

bool has(const StripBin& bin) { return std::isfinite(bin.low) && std::isfinite(bin.high); }

const StripBin& limit_at(const Strip& strip, std::size_t bin) {
  return strip.limit.size() == 1 ? strip.limit.front() : strip.limit[std::min(bin, strip.limit.size() - 1)];
}

bool is_beyond(const Strip& strip, std::size_t bin) {
  if (strip.limit.empty() || strip.curves.empty()) return false;
  const std::vector<StripBin>& bins = strip.curves.back().bins;
  const StripBin& limit = limit_at(strip, bin);
  if (bin >= bins.size() || !has(bins[bin]) || !std::isfinite(limit.mean)) return false;
  return strip.bad_above ? bins[bin].high > limit.high : bins[bin].low < limit.low;
}

bool is_beyond_somewhere(const Strip& strip) {
  if (strip.curves.empty()) return false;
  for (std::size_t i = 0; i < strip.curves.back().bins.size(); ++i)
    if (is_beyond(strip, i)) return true;
  return false;
}

std::string in_words(const Strip& strip) {
  const std::optional<Extreme> extreme = extreme_of(strip);
  if (!extreme) return "Nothing to draw.";
  std::string out =
      fmt::format("{} {}, at {}", strip.bad_above ? "At most" : "At least", with_unit(extreme->value, strip.unit),
                  position_text(strip.along, strip.from + extreme->share * (strip.to - strip.from)));
  const std::string limit = limit_range(strip);
  if (!limit.empty()) out += fmt::format("; {}: {}", strip.limit_name, limit);
  if (extreme->beyond > 0)
    out += fmt::format(
        "; beyond that in {} % of the strip",
        spoken(std::max(1.0, percent * static_cast<double>(extreme->beyond) / static_cast<double>(extreme->bins)), 0));
  return out + '.';
}

}  // namespace beadwise
