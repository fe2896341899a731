#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace beadwise {

/// Letters to put in, leave out, change or swap with a neighbour to get from one word to the other, capitals apart
/// (Damerau 1964, Commun. ACM 7:171; restricted form).
std::size_t edit_distance(std::string_view a, std::string_view b);

/// The end of a sentence that refuses `wrong`: "; did you mean `x`?", or "; there are: …" where nothing is near.
std::string instead_of(std::string_view wrong, const std::vector<std::string_view>& known);

}  // namespace beadwise
