#pragma once

#include "beadwise/picture.hpp"
#include "unit/report/sample_report.hpp"

/// The layers that the finding of `sample_report` lies on, each one square with lines in it, and two strips.
inline beadwise::Pictures sample_pictures() {
  using namespace beadwise;
  Pictures pictures;
  for (std::uint32_t number = 11; number <= 14; ++number) {
    LayerPicture layer;
    layer.layer = number;
    layer.z_mm = 0.2 * number;
    layer.height_mm = 0.2;
    const std::vector<PicturePoint> corners = {{400, 100}, {2400, 100}, {2400, 1600}, {400, 1600}, {400, 100}};
    for (std::size_t i = 0; i + 1 < corners.size(); ++i)
      layer.beads.push_back({corners[i], corners[i + 1], 45, PicturePart::outline});
    for (std::int32_t y = 160; y < 1560; y += 45) layer.beads.push_back({{460, y}, {2340, y}, 45, PicturePart::fill});
    layer.travels.push_back({{400, 100}, {460, 160}, 4, false, true});
    pictures.layers.push_back(layer);
  }
  pictures.duration_s = 4325;
  pictures.beginnings = {{1, 0}, {12, 1200}, {14, 1400}};
  pictures.moments = {{1203, 1210, 900, 0}, {1250, 1450, 980, 0}};
  Strip speed;
  speed.title = "Speed of the head";
  speed.unit = "mm/s";
  speed.to = pictures.duration_s;
  speed.curves = {{"speed", std::vector<StripBin>(100, StripBin{20, 50, 120})}};
  Strip flow = speed;
  flow.title = "Flow";
  flow.unit = "mm³/s";
  flow.curves = {{"laid", std::vector<StripBin>(100, StripBin{1, 4, 8})},
                 {"asked of the melt zone", std::vector<StripBin>(100, StripBin{3, 4, 5})}};
  flow.curves[1].bins[30] = {10, 11, 12};
  flow.limit = std::vector<StripBin>(100, StripBin{9, 9, 9});
  flow.limit_name = "melts through";
  pictures.strips = {flow, speed};
  return pictures;
}

/// `sample_report` with what can be drawn of it.
inline beadwise::FileReport drawn_report() {
  beadwise::FileReport report = sample_report();
  report.pictures = sample_pictures();
  return report;
}
