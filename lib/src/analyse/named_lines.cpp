#include "analyse/named_lines.hpp"

#include <set>

namespace beadwise {

std::vector<std::uint64_t> named_lines(std::span<const Finding> findings) {
  std::set<std::uint64_t> lines;
  for (const Finding& finding : findings) {
    const Places& places = finding.places;
    for (const std::uint64_t line : {places.first_line(), places.last_line()}) lines.insert(line);
    for (const Place& place : places.worst()) lines.insert(place.line);
  }
  lines.erase(0);
  return {lines.begin(), lines.end()};
}

}  // namespace beadwise
