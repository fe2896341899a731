#include "checks/support/wording.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace beadwise::checks {

std::string figure(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
  }
  return text == "-0" ? "0" : text;
}

std::string counted(std::uint64_t count, std::string_view one, std::string_view many) {
  return fmt::format("{} {}", count, count == 1 ? one : many);
}

std::string layers_between(std::uint32_t first, std::uint32_t last) {
  if (last == 0) return "before the first layer";
  first = std::max(first, 1U);
  if (first == last) return fmt::format("layer {}", first);
  return fmt::format("layers {} to {}", first, last);
}

std::string layers_of(const Places& places) { return layers_between(places.first_layer(), places.last_layer()); }

}  // namespace beadwise::checks
