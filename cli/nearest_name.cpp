#include "cli/nearest_name.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

namespace beadwise::cli {

namespace {

/// Letters to insert, drop or change (the Levenshtein distance).
std::size_t distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t changed = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
      diagonal = row[j];
      row[j] = std::min({row[j] + 1, row[j - 1] + 1, changed});
    }
  }
  return row[b.size()];
}

}  // namespace

std::string instead_of(std::string_view wrong, const std::vector<std::string>& known) {
  const auto nearest = std::min_element(known.begin(), known.end(), [&](const std::string& a, const std::string& b) {
    return distance(wrong, a) < distance(wrong, b);
  });
  // Half of the letters: enough for slips and a word left out, too little for another name.
  if (nearest != known.end() && distance(wrong, *nearest) <= std::max(wrong.size(), nearest->size()) / 2) {
    return fmt::format("did you mean `{}`?", *nearest);
  }
  return fmt::format("there are: {}.", fmt::join(known, ", "));
}

}  // namespace beadwise::cli
