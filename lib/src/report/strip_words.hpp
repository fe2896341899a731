#pragma once

#include <string>

#include "beadwise/picture.hpp"

namespace beadwise {

/// Whether a stretch of a strip has a value.
bool has(const StripBin& bin);

/// The limit at a stretch of a strip that has one.
const StripBin& limit_at(const Strip& strip, std::size_t bin);

/// Whether the curve that is held against the limit, the last one, is beyond it at a stretch.
bool is_beyond(const Strip& strip, std::size_t bin);

/// Whether it is anywhere.
bool is_beyond_somewhere(const Strip& strip);

/// What the strip shows, in a sentence.
std::string in_words(const Strip& strip);

}  // namespace beadwise
