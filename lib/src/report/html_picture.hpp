#pragma once

#include <string>
#include <string_view>

#include "report/picture_window.hpp"

namespace beadwise {

/// The window of a view as SVG: beads at true width, what lies below, travels, marks and places. `id` is its own on the
/// page, `label` what is read aloud in its stead.
std::string picture_svg(const PictureView& view, const Finding& finding, std::string_view id, std::string_view label);

/// Whether the picture of a view shows travels: not where there are none, or too many to tell apart.
bool draws_travels(const PictureView& view);

/// Length of the bar in the lower left of a picture of that window, mm.
double scale_bar_mm(const PictureWindow& window);

}  // namespace beadwise
