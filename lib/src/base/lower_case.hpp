#pragma once

#include <cctype>
#include <string>

namespace beadwise {

/// ASCII letters in lower case; other bytes as they are.
inline std::string lower_case(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

}  // namespace beadwise
