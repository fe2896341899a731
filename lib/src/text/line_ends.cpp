#include "text/line_ends.hpp"

#include <algorithm>

namespace beadwise {

std::uint64_t count_line_ends(std::string_view text) {
  const auto lf = static_cast<std::uint64_t>(std::count(text.begin(), text.end(), '\n'));
  std::uint64_t lone_cr = 0;
  for (std::size_t at = text.find('\r'); at != std::string_view::npos; at = text.find('\r', at + 1)) {
    lone_cr += at + 1 == text.size() || text[at + 1] != '\n';
  }
  return lf + lone_cr;
}

}  // namespace beadwise
