#pragma once

#include <string>
#include <string_view>

namespace beadwise::tests {

/// Bytes packed as one gzip member.
std::string gzip(std::string_view bytes);

}  // namespace beadwise::tests
