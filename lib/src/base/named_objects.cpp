#include <algorithm>
#include <iterator>

#include "beadwise/job.hpp"

namespace beadwise {

namespace {

// A skirt or a prime line is laid in one layer, or in two to draw a draught off.
constexpr std::uint32_t slight_layers = 2;
// More pieces than that, none of them higher, are no parts but the crumbs of a job that lays next to nothing.
constexpr std::size_t most_slight_parts = 64;

bool is_slight(const ObjectFigures& object) { return object.last_layer - object.first_layer < slight_layers; }

}  // namespace

std::vector<ObjectFigures> named_objects(const std::vector<ObjectFigures>& objects) {
  std::vector<ObjectFigures> named;
  std::copy_if(objects.begin(), objects.end(), std::back_inserter(named),
               [](const ObjectFigures& object) { return !is_slight(object); });
  if (!named.empty()) return named;
  return objects.size() <= most_slight_parts ? objects : named;
}

}  // namespace beadwise
