#pragma once

#include <string_view>

namespace beadwise::html_page {

/// The page's style and script as they stand in lib/src/report/page/, and the base64 SHA-256 of each for its content
/// security policy; written at build time.
std::string_view style();
std::string_view script();
std::string_view style_sha256();
std::string_view script_sha256();

}  // namespace beadwise::html_page
