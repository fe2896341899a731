#pragma once

#include <functional>
#include <string_view>

#include "model/layer_stack.hpp"

namespace beadwise::tests {

/// Shows every layer of a job with what lies below and above it, in order; a 0.4 mm nozzle, 1.75 mm filament.
void for_each_stack(std::string_view gcode, const std::function<void(const LayerStack&)>& on_stack);

}  // namespace beadwise::tests
