#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "beadwise/report.hpp"

namespace beadwise {

/// The layers that were kept, to be stepped through: hidden until the page's script takes over. What goes over
/// `most_bytes` is left out and named.
std::string layers_html(const FileReport& report, std::string_view finding_id, int heading, std::size_t most_bytes);

}  // namespace beadwise
