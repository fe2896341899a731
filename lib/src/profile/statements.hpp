#pragma once

#include <span>

#include "profile/document.hpp"

namespace beadwise {

/// Takes everything that `document` states over into `profile`: a stated value replaces the one there, a list the whole
/// list. Refuses what it does not know, at the first such place in the document.
void take_statements(const Document& document, std::span<const KnownCheck> checks, Profile& profile);

}  // namespace beadwise
