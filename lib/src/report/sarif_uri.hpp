#pragma once

#include <string>
#include <string_view>

namespace beadwise {

/// A file's name as a reference (RFC 3986): an absolute path with the scheme `file`, any other relative to where the
/// program was started; `standard input` becomes "stdin". A "." in the path is left out, a ".." stays.
std::string sarif_uri(std::string_view file);

}  // namespace beadwise
