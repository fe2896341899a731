#include "profile/nearest.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <numeric>

namespace beadwise {

namespace {

char lower(char c) { return static_cast<char>(std::tolower(static_cast<unsigned char>(c))); }

// `chamber` for `chamber_c`, `nozle` for `nozzle_diameter_mm`: the unit, or the end of a long key, is what people leave
// out, at the price of one letter.
std::size_t distance_to_key(std::string_view wrong, std::string_view key) {
  std::size_t least = edit_distance(wrong, key);
  for (std::size_t end = key.find('_'); end != std::string_view::npos; end = key.find('_', end + 1)) {
    least = std::min(least, edit_distance(wrong, key.substr(0, end)) + 1);
  }
  return least;
}

}  // namespace

std::size_t edit_distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> before_last(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::swap(before_last, last);
    std::swap(last, row);
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const bool same = lower(a[i - 1]) == lower(b[j - 1]);
      row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (same ? 0 : 1)});
      const bool swapped = i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1]);
      if (swapped) row[j] = std::min(row[j], before_last[j - 2] + 1);
    }
  }
  return row[b.size()];
}

std::string instead_of(std::string_view wrong, const std::vector<std::string_view>& known) {
  if (known.empty()) return "; there are none";
  const auto distance = [&](std::string_view key) { return distance_to_key(wrong, key); };
  const auto nearest = std::min_element(
      known.begin(), known.end(), [&](std::string_view a, std::string_view b) { return distance(a) < distance(b); });
  // Two fifths of the letters: enough for a forgotten unit, too little for another word.
  const std::size_t near = std::max<std::size_t>(1, wrong.size() * 2 / 5);
  if (distance(*nearest) <= near) return fmt::format("; did you mean `{}`?", *nearest);
  return fmt::format("; there are: {}", fmt::join(known, ", "));
}

}  // namespace beadwise
