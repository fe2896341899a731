#include "report/sarif_uri.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "beadwise/source.hpp"

namespace beadwise {

namespace {

/// RFC 3986, section 2.3: these mean themselves wherever they stand.
bool is_unreserved(char letter) {
  const bool alphanumeric =
      (letter >= 'a' && letter <= 'z') || (letter >= 'A' && letter <= 'Z') || (letter >= '0' && letter <= '9');
  return alphanumeric || letter == '-' || letter == '.' || letter == '_' || letter == '~';
}

std::string percent_encoded(std::string_view segment) {
  std::string out;
  for (const char letter : segment)
    out += is_unreserved(letter) ? std::string(1, letter) : fmt::format("%{:02X}", static_cast<unsigned char>(letter));
  return out;
}

}  // namespace

std::string sarif_uri(std::string_view file) {
  if (file == Source::standard_input().name) return "stdin";
  const bool absolute = file.starts_with('/');
  std::string uri = absolute ? "file://" : "";
  bool first = !absolute;
  while (!file.empty()) {
    const std::string_view segment = file.substr(0, file.find('/'));
    file.remove_prefix(std::min(segment.size() + 1, file.size()));
    if (segment.empty() || segment == ".") continue;
    if (!first) uri += '/';
    first = false;
    uri += percent_encoded(segment);
  }
  return uri;
}

}  // namespace beadwise
