#include "base/plain_number.hpp"

#include <charconv>

namespace beadwise {

std::optional<double> plain_number(std::string_view text) {
  // from_chars takes a minus, words for infinity and more that is not meant here.
  if (text.empty() || text.find_first_not_of("0123456789.") != std::string_view::npos) return std::nullopt;
  double value = 0;
  const auto [end, trouble] = std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  if (trouble != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return value;
}

}  // namespace beadwise
