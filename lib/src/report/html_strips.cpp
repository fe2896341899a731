#include "report/html_strips.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <vector>

#include "report/html_text.hpp"
#include "report/strip_scale.hpp"
#include "report/strip_tracks.hpp"
#include "report/strip_words.hpp"

namespace beadwise {

namespace {

// A strip's drawing is stretched to the width of the page; its own units are one per bin and a hundred from least to
// most.
constexpr double drawn_height = 100;
constexpr double percent = 100;
constexpr double disc_px = 24;

/// Numbered discs where the findings are worst, with a bar from their first place to their last.
std::string lanes_svg(const std::vector<StripTrack>& tracks, std::string_view finding_id) {
  if (tracks.empty()) return {};
  std::size_t lanes = 0;
  for (const StripTrack& track : tracks) lanes = std::max(lanes, track.lane + 1);
  std::string out = fmt::format(R"(<svg class="lanes" height="{:.0f}" role="group" aria-label="Findings by number">)",
                                disc_px * static_cast<double>(lanes) + 4);
  for (const StripTrack& track : tracks) {
    const double y = disc_px * (static_cast<double>(track.lane) + 0.5) + 2;
    out += fmt::format(
        R"(<line class="reach {0}" x1="{1:.2f}%" x2="{2:.2f}%" y1="{3:.0f}" y2="{3:.0f}"/><a href="#{4}{5}" )"
        R"(aria-label="Finding {5}, {0}"><circle class="press" cx="{6:.2f}%" cy="{3:.0f}" r="12"/><circle class="number {0}" cx="{6:.2f}%" cy="{3:.0f}" r="11"/>)"
        R"(<text x="{6:.2f}%" y="{7:.0f}" class="{0}">{5}</text></a>)",
        to_string(track.severity), percent * track.from, percent * track.to, y, finding_id, track.number,
        percent * track.worst, y + 4.5);
  }
  return out + "</svg>";
}

struct Scale {
  double low = 0;
  double high = 1;

  bool shows(double value) const { return value >= low && value <= high; }
  double y(double value) const { return drawn_height * (high - std::clamp(value, low, high)) / (high - low); }
};

/// From 0 where that leaves the curves readable; temperatures from a little below the least.
Scale scale_of(const Strip& strip) {
  double least = 0;
  double most = 0;
  bool any = false;
  const auto take = [&](const StripBin& bin) {
    if (!std::isfinite(bin.low) || !std::isfinite(bin.high)) return;
    least = any ? std::min(least, double{bin.low}) : double{bin.low};
    most = any ? std::max(most, double{bin.high}) : double{bin.high};
    any = true;
  };
  for (const StripCurve& curve : strip.curves)
    for (const StripBin& bin : curve.bins) take(bin);
  const double own_most = most;
  for (const StripBin& bin : strip.limit) take(bin);
  // A limit far beyond what happens is said in words; drawn, it would press the curve flat.
  constexpr double farthest_limit = 2;
  if (own_most > 0) most = std::min(most, farthest_limit * own_most);
  constexpr double headroom = 1.08;
  const double span = std::max(most - least, 1e-9);
  if (least >= 0 && least < most / 2) return {0, std::max(most, 1e-9) * headroom};
  return {least - (headroom - 1) * span, most + (headroom - 1) * span};
}

std::string band_path(const std::vector<StripBin>& bins, const Scale& scale) {
  std::string out;
  for (std::size_t first = 0; first < bins.size();) {
    if (!has(bins[first])) {
      ++first;
      continue;
    }
    std::size_t end = first;
    while (end < bins.size() && has(bins[end])) ++end;
    fmt::format_to(std::back_inserter(out), "M{} {:.1f}", first, scale.y(bins[first].high));
    for (std::size_t i = first; i < end; ++i)
      fmt::format_to(std::back_inserter(out), "L{} {:.1f}H{}", i, scale.y(bins[i].high), i + 1);
    for (std::size_t i = end; i-- > first;)
      fmt::format_to(std::back_inserter(out), "L{} {:.1f}H{}", i + 1, scale.y(bins[i].low), i);
    out += 'z';
    first = end;
  }
  return out;
}

std::string line_path(const std::vector<StripBin>& bins, const Scale& scale) {
  std::string out;
  bool down = false;
  for (std::size_t i = 0; i < bins.size(); ++i) {
    const bool draws = std::isfinite(bins[i].mean) && scale.shows(bins[i].mean);
    if (draws)
      fmt::format_to(std::back_inserter(out), "{}{} {:.1f}", down ? 'L' : 'M', static_cast<double>(i) + 0.5,
                     scale.y(bins[i].mean));
    down = draws;
  }
  return out;
}

std::string beyond_path(const Strip& strip, const Scale& scale) {
  std::string out;
  const std::vector<StripBin>& bins = strip.curves.back().bins;
  for (std::size_t i = 0; i < bins.size(); ++i) {
    if (!is_beyond(strip, i)) continue;
    const double from = scale.y(limit_at(strip, i).mean);
    const double to = scale.y(strip.bad_above ? bins[i].high : bins[i].low);
    fmt::format_to(std::back_inserter(out), "M{} {:.1f}V{:.1f}H{}V{:.1f}z", i, from, to, i + 1, from);
  }
  return out;
}

std::string curves_svg(const Strip& strip, const Scale& scale) {
  std::string out;
  std::size_t number = 0;
  for (const StripCurve& curve : strip.curves) {
    const std::string path = number == 0 ? band_path(curve.bins, scale) : line_path(curve.bins, scale);
    out += fmt::format(R"(<path class="{}" d="{}"/>)", number == 0 ? "band" : "curve", path);
    ++number;
  }
  if (strip.limit.empty()) return out;
  if (strip.limit.size() == 1 && scale.shows(strip.limit.front().mean)) {
    out += fmt::format(R"(<path class="limit" d="M0 {:.1f}H{}"/>)", scale.y(strip.limit.front().mean),
                       strip.curves.empty() ? 1 : strip.curves.front().bins.size());
  } else if (strip.limit.size() > 1) {
    out += fmt::format(R"(<path class="limit" d="{}"/>)", line_path(strip.limit, scale));
  }
  return out + fmt::format(R"(<path class="beyond" d="{}"/>)", beyond_path(strip, scale));
}

std::string strip_svg(const Strip& strip, const std::vector<StripTrack>& tracks, const std::string& label) {
  const std::size_t bins = strip.curves.front().bins.size();
  const Scale scale = scale_of(strip);
  std::string out = fmt::format(R"(<svg class="strip" role="img" aria-label="{}">)", escaped(label));
  out += fmt::format(R"(<svg viewBox="0 0 {} {}" preserveAspectRatio="none" width="100%" height="100%">{}</svg>)", bins,
                     drawn_height, curves_svg(strip, scale));
  for (const StripTrack& track : tracks)
    out += fmt::format(R"(<line class="at {}" x1="{:.2f}%" x2="{:.2f}%" y1="0" y2="100%"/>)", to_string(track.severity),
                       percent * track.worst, percent * track.worst);
  return out + "</svg>";
}

std::string axis_svg(const Strip& strip, const Pictures& pictures) {
  std::string out = R"(<svg class="axis" aria-hidden="true">)";
  const auto layer_at = [&](double time_s) {
    const auto next = std::upper_bound(pictures.beginnings.begin(), pictures.beginnings.end(), time_s,
                                       [](double wanted, const LayerMoment& one) { return wanted < one.time_s; });
    return next == pictures.beginnings.begin() ? 0 : std::prev(next)->layer;
  };
  for (const StripTick& tick : ticks_of(strip.along, strip.from, strip.to)) {
    const std::string_view anchor = tick.share < 0.03 ? "start" : tick.share > 0.9 ? "end" : "middle";
    out += fmt::format(
        R"(<line x1="{0:.2f}%" x2="{0:.2f}%" y1="0" y2="6"/><text x="{0:.2f}%" y="20" text-anchor="{1}">{2}</text>)",
        percent * tick.share, anchor, escaped(tick.label));
    if (strip.along != StripAxis::time) continue;
    const std::uint32_t layer = layer_at(strip.from + tick.share * (strip.to - strip.from));
    if (layer == 0) continue;
    out += fmt::format(R"(<text class="layer" x="{:.2f}%" y="36" text-anchor="{}">layer {}</text>)",
                       percent * tick.share, anchor, layer);
  }
  return out + "</svg>";
}

std::string keys_of(const Strip& strip) {
  std::string out;
  std::size_t number = 0;
  for (const StripCurve& curve : strip.curves)
    out += fmt::format(R"(<span class="key {}">{}</span>)", number++ == 0 ? "band" : "curve", escaped(curve.name));
  if (!strip.limit.empty()) out += fmt::format(R"(<span class="key limit">{}</span>)", escaped(strip.limit_name));
  if (is_beyond_somewhere(strip)) out += R"(<span class="key beyond">beyond it</span>)";
  return out;
}

std::string strip_figure(const Strip& strip, const std::vector<StripTrack>& tracks) {
  const std::string words = in_words(strip);
  const std::string title = fmt::format("{}, {}", strip.title, strip.unit);
  return fmt::format(
      "<figure class=\"run\"><figcaption><b>{}</b> <span class=\"keys\">{}</span> <span class=\"words\">{}</span>"
      "</figcaption>{}</figure>",
      escaped(title), keys_of(strip), escaped(words), strip_svg(strip, tracks, strip.title + ". " + words));
}

}  // namespace

std::string strips_html(const FileReport& report, std::string_view finding_id) {
  if (!report.pictures) return {};
  std::string out;
  for (const StripAxis along : {StripAxis::time, StripAxis::filament}) {
    const Strip* last = nullptr;
    for (const Strip& strip : report.pictures->strips) {
      if (strip.along != along || strip.curves.empty() || strip.curves.front().bins.empty() || !(strip.to > strip.from))
        continue;
      const std::vector<StripTrack> tracks = tracks_of(report, strip);
      // Strips along the filament have each a tool of their own.
      if (last == nullptr || along == StripAxis::filament) out += lanes_svg(tracks, finding_id);
      out += strip_figure(strip, tracks);
      if (along == StripAxis::filament) out += axis_svg(strip, *report.pictures);
      last = &strip;
    }
    if (last != nullptr && along == StripAxis::time) out += axis_svg(*last, *report.pictures);
  }
  return out;
}

}  // namespace beadwise
