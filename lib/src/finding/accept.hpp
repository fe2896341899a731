#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "beadwise/finding.hpp"
#include "beadwise/profile.hpp"

namespace beadwise {

/// Whether `where` of an [[accept]] means a finding of the file called `file`: it is the finding's fingerprint, or each
/// of its phrases (parted by commas) stands as a run of whole words, upper or lower case, in the file's name, in the
/// key or the sentence of the finding, or names the one object that it is about. docs/accept.md tells it to people.
bool means(std::string_view where, std::string_view file, const Finding& finding);

/// Marks the findings that the profile accepts and puts them after the others. Gives back the acceptances that met
/// none.
std::vector<const Accepted*> accept(std::span<const Accepted> stated, std::string_view file,
                                    std::vector<Finding>& findings);

/// Puts accepted findings after the others; both keep their order.
void put_accepted_last(std::vector<Finding>& findings);

}  // namespace beadwise
