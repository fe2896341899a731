#pragma once

#include <string>
#include <string_view>

#include "report/picture_window.hpp"

namespace beadwise {

/// The whole layer in coarse cells with the window on it, for whoever looks for the place on the plate.
std::string plan_svg(const PictureView& view, std::string_view label);

}  // namespace beadwise
