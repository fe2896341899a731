#include "report/html_picture.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <map>
#include <vector>

#include "report/html_text.hpp"

namespace beadwise {

namespace {

constexpr double hundredths = 100;
// Beads whose widths differ by less look the same.
constexpr int width_step = 5;
// The dark edge of a bead, as a share of its width: neighbours stay apart to the eye.
constexpr double core_share = 0.78;
constexpr std::size_t most_travels = 400;

constexpr std::array<std::string_view, 5> part_names = {"unknown", "outline", "wall", "fill", "apart"};

std::string_view name_of(PicturePart part) { return part_names[static_cast<std::size_t>(part)]; }

/// Pieces one after another as the `d` of a path, in the picture's own coordinates: y runs down.
class PathText {
 public:
  explicit PathText(const PictureWindow& window) : window_(window) {}

  void add(PicturePoint from, PicturePoint to) {
    const PicturePoint first = inside(from);
    const PicturePoint second = inside(to);
    if (text_.empty() || first != pen_) fmt::format_to(std::back_inserter(text_), "M{} {}", first.x, first.y);
    fmt::format_to(std::back_inserter(text_), "l{} {}", second.x - first.x, second.y - first.y);
    pen_ = second;
  }

  const std::string& text() const { return text_; }

 private:
  PicturePoint inside(PicturePoint point) const { return {point.x - window_.low.x, window_.high.y - point.y}; }

  PictureWindow window_;
  PicturePoint pen_;
  std::string text_;
};

using WidthPaths = std::map<std::pair<PicturePart, int>, PathText>;

int rounded_width(std::uint16_t width) {
  return std::max(width_step, (width + width_step / 2) / width_step * width_step);
}

WidthPaths paths_of(const LayerPicture& layer, const PictureWindow& window) {
  WidthPaths paths;
  for (const PictureBead& bead : layer.beads) {
    if (!window.touches(bead.from, bead.to, bead.width)) continue;
    paths.try_emplace({bead.part, rounded_width(bead.width)}, window).first->second.add(bead.from, bead.to);
  }
  return paths;
}

std::string beads_of(const PictureView& view, std::string_view id) {
  std::string defined;
  std::string edges;
  std::string cores;
  std::size_t number = 0;
  for (const auto& [kind, path] : paths_of(*view.layer, view.window)) {
    const auto& [part, width] = kind;
    const std::string name = fmt::format("{}-{}", id, ++number);
    defined += fmt::format(R"(<path id="{}" d="{}"/>)", name, path.text());
    edges += fmt::format("<use href=\"#{}\" stroke-width=\"{}\"/>", name, width);
    cores +=
        fmt::format(R"(<use href="#{}" class="{}" stroke-width="{:.0f}"/>)", name, name_of(part), core_share * width);
  }
  return fmt::format("<defs>{}</defs><g class=\"edges\">{}</g><g class=\"cores\">{}</g>", defined, edges, cores);
}

std::string below_of(const PictureView& view) {
  if (view.below == nullptr) return {};
  std::string out = "<g class=\"below\">";
  for (const auto& [kind, path] : paths_of(*view.below, view.window))
    out += fmt::format(R"(<path stroke-width="{}" d="{}"/>)", kind.second, path.text());
  return out + "</g>";
}

std::string travels_of(const PictureView& view, std::int64_t stroke) {
  if (!draws_travels(view)) return {};
  PathText dry(view.window);
  PathText open(view.window);
  for (const PictureTravel& travel : view.layer->travels)
    if (view.window.touches(travel.from, travel.to, 0)) (travel.pulled_back ? dry : open).add(travel.from, travel.to);
  std::string out;
  const auto add = [&](const PathText& path, std::string_view kind, std::string_view dashes) {
    if (path.text().empty()) return;
    out += fmt::format(R"(<path class="travel {}" stroke-width="{}"{} d="{}"/>)", kind, stroke, dashes, path.text());
  };
  add(dry, "dry", fmt::format(" stroke-dasharray=\"{} {}\"", 3 * stroke, 4 * stroke));
  add(open, "open", "");
  return out;
}

/// A figure in the signal colour with a halo that parts it from the beads.
std::string haloed(std::string_view shape, std::int64_t stroke) {
  return fmt::format(R"(<g class="halo" stroke-width="{}">{}</g><g class="signal" stroke-width="{}">{}</g>)",
                     3 * stroke, shape, stroke, shape);
}

std::string mark_of(const Mark& mark, const PictureWindow& window, std::int64_t stroke) {
  PathText path(window);
  const auto point = [](const std::array<double, 2>& mm) {
    return PicturePoint{static_cast<std::int32_t>(std::lround(mm[0] * hundredths)),
                        static_cast<std::int32_t>(std::lround(mm[1] * hundredths))};
  };
  for (std::size_t i = 0; i + 1 < mark.points_mm.size(); ++i)
    path.add(point(mark.points_mm[i]), point(mark.points_mm[i + 1]));
  if (path.text().empty()) return {};
  std::string out;
  if (mark.width_mm > 0)
    out =
        fmt::format(R"(<path class="stroke" stroke-width="{:.0f}" d="{}"/>)", mark.width_mm * hundredths, path.text());
  return out + haloed(fmt::format("<path d=\"{}\"/>", path.text()), stroke);
}

std::string rings_of(const PictureView& view, std::int64_t stroke) {
  const std::int64_t radius = 9 * stroke;
  std::string rings;
  for (const Place& place : view.places) {
    const double x = place.x_mm * hundredths - view.window.low.x;
    const double y = view.window.high.y - place.y_mm * hundredths;
    rings += fmt::format(R"(<circle cx="{:.0f}" cy="{:.0f}" r="{}"/>)", x, y, radius);
    if (&place != &view.places.front()) continue;
    // The worst has four ticks, like a sight.
    const std::int64_t far = radius + 6 * stroke;
    rings += fmt::format(R"(<path d="M{0:.0f} {1:.0f}m-{2} 0h{3}m{4} 0h{3}m-{2} -{2}v{3}m0 {4}v{3}"/>)", x, y, far,
                         far - radius, 2 * radius);
  }
  return rings.empty() ? rings : haloed(rings, stroke);
}

std::string scale_bar(const PictureWindow& window, std::int64_t stroke) {
  const std::int64_t left = window.width() / 40;
  const std::string bar = fmt::format("M{0} {1}v-{2}v{2}h{3:.0f}v-{2}", left, window.height() - left, 2 * stroke,
                                      scale_bar_mm(window) * hundredths);
  return fmt::format(R"(<g class="scale"><path stroke-width="{}" d="{}"/><path stroke-width="{}" d="{}"/></g>)",
                     3 * stroke, bar, stroke, bar);
}

}  // namespace

bool draws_travels(const PictureView& view) {
  const auto count = std::count_if(view.layer->travels.begin(), view.layer->travels.end(),
                                   [&](const PictureTravel& one) { return view.window.touches(one.from, one.to, 0); });
  // A tangle of them hides what it should show.
  return count > 0 && static_cast<std::size_t>(count) <= most_travels;
}

double scale_bar_mm(const PictureWindow& window) {
  const double wanted_mm = static_cast<double>(window.width()) / hundredths / 4;
  for (const double length_mm : {50.0, 20.0, 10.0, 5.0, 2.0, 1.0})
    if (length_mm <= wanted_mm) return length_mm;
  return 0.5;
}

std::string picture_svg(const PictureView& view, const Finding& finding, std::string_view id, std::string_view label) {
  const PictureWindow& window = view.window;
  // Thin lines take this share of the picture, whatever it shows.
  const std::int64_t stroke = std::max<std::int64_t>(1, window.width() / 220);
  std::string out = fmt::format(R"(<svg class="picture" viewBox="0 0 {} {}" role="img" aria-label="{}">)",
                                window.width(), window.height(), escaped(label));
  out += below_of(view) + beads_of(view, id) + travels_of(view, stroke);
  for (const Mark& mark : finding.marks)
    if (mark.layer == view.layer->layer) out += mark_of(mark, window, stroke);
  return out + rings_of(view, stroke) + scale_bar(window, stroke) + "</svg>";
}

}  // namespace beadwise
