#pragma once

#include <string>
#include <string_view>

#include "beadwise/picture.hpp"

namespace beadwise {

/// A layer as bytes for the page's script, before they are deflated. Numbers are variable-length (seven bits a byte,
/// the low ones first, the high bit where more follow), signed ones as 0, -1, 1, -2, …; coordinates are differences in
/// hundredths of a millimetre.
///
/// Beads: how many; for each one byte of flags (1: begins elsewhere than the one before ended, 2: another width,
/// 4: another part), then what the flags name (x and y of the begin, the width, the part), then x and y of the end.
/// Travels: how many; for each the beads laid since the travel before, one byte of flags (1: lifted, 2: pulled back,
/// 4: begins elsewhere), where so x and y of the begin, then x and y of the end.
std::string packed(const LayerPicture& layer);

/// RFC 1950, as `DecompressionStream('deflate')` reads it.
std::string deflated(std::string_view bytes);

/// RFC 4648, section 4, with padding.
std::string base64(std::string_view bytes);

}  // namespace beadwise
